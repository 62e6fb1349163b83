// A slab: whole lines of a batch, one after the other as they came, that are answered together.

import type { Problem } from '../../contract/problem.ts'

export interface Slab {
  /** Number of the first line in the body, from 1. */
  firstLine: number
  /** Questions of the batch that stand before it. */
  questionsBefore: number
  /** Lines that are not blank. */
  questions: number
  bytes: Uint8Array
}

/** What comes of a slab: a line for each of its questions, and what the log should know. */
export interface AnsweredSlab {
  bytes: Uint8Array<ArrayBuffer>
  faults: Fault[]
}

/** A failure of the service itself, in a form that can leave a thread. */
export interface Fault {
  path: string
  reason: string
}

export interface SlabLine {
  line: number
  bytes: Uint8Array
}

export const LINE_FEED = 0x0a
const CARRIAGE_RETURN = 0x0d
const SPACE = 0x20
const TAB = 0x09

export function isBlank(bytes: Uint8Array, from: number, to: number): boolean {
  for (let at = from; at < to; at++) {
    const byte = bytes[at]
    if (byte !== SPACE && byte !== TAB && byte !== CARRIAGE_RETURN) return false
  }
  return true
}

/** The lines of a slab that are not blank. */
export function* linesOf({ firstLine, bytes }: Slab): Generator<SlabLine> {
  let line = firstLine
  for (let from = 0; from < bytes.length; line++) {
    const feed = bytes.indexOf(LINE_FEED, from)
    const to = feed === -1 ? bytes.length : feed
    if (!isBlank(bytes, from, to)) yield { line, bytes: bytes.subarray(from, to) }
    from = to + 1
  }
}

/** A line of the answer that says why there is none. */
export function refusalLine(line: number, problem: Problem, id?: string): string {
  return `${JSON.stringify({ line, ...(id !== undefined && { id }), status: problem.status, problem })}\n`
}
