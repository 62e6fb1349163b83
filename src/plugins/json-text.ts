// Reads JSON text as strictly as JSON.parse, and says where it breaks. Beyond it, a name that an object gives twice is
// refused: JSON.parse would keep the last one in silence.

import { isUtf8 } from 'node:buffer'
import { ProblemError } from '../contract/problem.ts'
import { scanJson } from './json-scan.ts'

/** Says where a text stops being JSON, by what stands before. */
type Place = (before: string) => string

const lineAndColumn: Place = (before) => {
  const lines = before.split(/\r\n|\n|\r/)
  return `line ${lines.length}, column ${(lines.at(-1) ?? '').length + 1}`
}

/** For a text that is one line, whose number is told beside. */
export const columnOnly: Place = (before) => `column ${before.length + 1}`

/**
 * JSON in bytes. Bytes that are no UTF-8 are refused: decoding would put replacement characters in their place in silence.
 *
 * @throws {ProblemError} as {@link parseJson} does
 */
export function readJson(bytes: Uint8Array, what: string, place: Place = lineAndColumn): unknown {
  return parseJson(textOf(bytes, what), what, place)
}

/** @throws {ProblemError} `unreadable-request` for bytes that are no UTF-8 */
export function textOf(bytes: Uint8Array, what: string): string {
  if (!isUtf8(bytes)) throw new ProblemError('unreadable-request', `${what} is not UTF-8.`)
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('utf8')
}

/**
 * @param what  the thing that is read, as it begins a sentence
 * @throws {ProblemError} `unreadable-request` with the place of the fault; `invalid-request` for a doubled name
 */
export function parseJson(text: string, what: string, place: Place = lineAndColumn): unknown {
  const json = text.startsWith('\uFEFF') ? text.slice(1) : text
  let value: unknown
  try {
    value = JSON.parse(json)
  } catch {
    throw brokenJson(json, what, place)
  }
  const fields = countFields(value)
  // The quick count is never too low, and a doubled name makes it too high; then the names are counted one by one.
  if (countNamesAtMost(json) !== fields && countNames(json) !== fields) refuseDoubledNames(json)
  return value
}

function brokenJson(json: string, what: string, place: Place): ProblemError {
  if (json.trim() === '') return new ProblemError('unreadable-request', `${what} is empty; a JSON object is wanted.`)
  const { offset, expected } = scanJson(json).fault ?? { offset: json.length, expected: 'JSON' }
  const found = offset >= json.length ? 'the text ends' : `${JSON.stringify(json.slice(offset, offset + 12))} stands`
  return new ProblemError(
    'unreadable-request',
    `${what} is not JSON: at ${place(json.slice(0, offset))} ${found} where ${expected} is wanted.`,
  )
}

function refuseDoubledNames(json: string): void {
  const { doubled } = scanJson(json)
  const errors = doubled.map((pointer) => ({ pointer, message: 'given twice; leave one of them out' }))
  throw new ProblemError('invalid-request', 'A field is given twice.', errors)
}

/** Colons behind a quotation mark: every name of a valid JSON text has one, and the end of a string may. */
function countNamesAtMost(json: string): number {
  let names = 0
  for (let colon = json.indexOf(':'); colon !== -1; colon = json.indexOf(':', colon + 1)) {
    const before = json.charCodeAt(colon - 1)
    // With space before its colon a name would not be counted.
    if (before <= 0x20) return Infinity
    if (before === 0x22) names++
  }
  return names
}

/** How many `"name":` a valid JSON text holds. */
function countNames(json: string): number {
  let names = 0
  for (let open = json.indexOf('"'); open !== -1;) {
    const close = endOfString(json, open)
    let after = close + 1
    while (json.charCodeAt(after) <= 0x20) after++
    if (json.charCodeAt(after) === 0x3a) names++
    open = json.indexOf('"', after)
  }
  return names
}

function endOfString(json: string, open: number): number {
  for (let quote = json.indexOf('"', open + 1); ; quote = json.indexOf('"', quote + 1)) {
    let escapes = 0
    while (json.charCodeAt(quote - 1 - escapes) === 0x5c) escapes++
    if (escapes % 2 === 0) return quote
  }
}

/** How many fields the parsed value holds; no recursion, so that depth costs no stack. */
function countFields(value: unknown): number {
  let fields = 0
  const waiting = typeof value === 'object' && value !== null ? [value as unknown] : []
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (Array.isArray(next)) {
      for (const item of next as unknown[]) if (typeof item === 'object' && item !== null) waiting.push(item)
      continue
    }
    const parent = next as Record<string, unknown>
    // JSON gives every field to the object itself, so nothing inherited is counted.
    for (const name in parent) {
      fields++
      const child = parent[name]
      if (typeof child === 'object' && child !== null) waiting.push(child)
    }
  }
  return fields
}
