// What the reader makes of a body, as a value to compare.

import { readFileSync } from 'node:fs'

import { FitsError, readFitsBody } from '../../../src/fits/index.ts'
import type { FitsImage } from '../../../src/fits/index.ts'
import { chunks } from '../../frames/support/fits-file.ts'

/** Files made by make-frames.py; the compiled test runs two folders deeper than its source. */
export function dataFile(name: string): Buffer {
  return readFileSync(new URL(`../../../../tests/fits/data/${name}`, import.meta.url))
}

export interface ReadResult {
  image: FitsImage
  bytesRead: number
  data: Buffer
}

export async function read(
  bytes: Uint8Array,
  options: { chunkBytes?: number; maximumBytes?: number } = {},
): Promise<ReadResult> {
  const parts: Uint8Array[] = []
  const sink = { write: (part: Uint8Array) => void parts.push(part.slice()) }
  const body = chunks(bytes, options.chunkBytes)
  const result = await readFitsBody(body, { maximumBytes: options.maximumBytes ?? 1 << 24 }, () => sink)
  return { ...result, data: Buffer.concat(parts) }
}

/** The code of the refusal; the error itself where it is none of ours. */
export async function refusal(pending: Promise<unknown>): Promise<unknown> {
  try {
    await pending
    return 'accepted'
  } catch (error) {
    return error instanceof FitsError ? error.code : error
  }
}
