// A gzip-encoded body (RFC 1952), inflated as it comes. The size of what comes out is bounded by who reads it.

import { Readable, pipeline } from 'node:stream'
import { createGunzip } from 'node:zlib'

import { chunksOf } from './chunks.ts'
import { FitsError, spokenBytes } from './errors.ts'

/**
 * Inflates a body.
 *
 * @param body  the encoded bytes; left open when the reader stops early
 * @param limits  encoded bytes that are accepted (an endless row of empty members yields nothing to count), and a signal
 * @returns the decoded chunks
 * @throws {FitsError} `gzip-unreadable`, `body-too-large`
 */
export async function* inflateGzip(
  body: AsyncIterable<Uint8Array>,
  limits: { maximumBytes: number; signal?: AbortSignal | undefined },
): AsyncGenerator<Uint8Array, void, undefined> {
  const gunzip = createGunzip({ chunkSize: 64 * 1024 })
  // An error on either side destroys both, and so surfaces in the loop below.
  pipeline(Readable.from(bounded(body, limits)), gunzip, () => undefined)
  try {
    for await (const chunk of gunzip) yield chunk as Uint8Array
  } catch (error) {
    throw isZlibError(error)
      ? new FitsError('gzip-unreadable', `The body does not inflate: ${error.message}.`, { allowed: 'gzip, RFC 1952' })
      : error
  } finally {
    gunzip.destroy()
  }
}

async function* bounded(
  body: AsyncIterable<Uint8Array>,
  { maximumBytes, signal }: { maximumBytes: number; signal?: AbortSignal | undefined },
): AsyncGenerator<Uint8Array, void, undefined> {
  let bytes = 0
  for await (const chunk of chunksOf(body, signal)) {
    bytes += chunk.length
    if (bytes > maximumBytes) {
      throw new FitsError('body-too-large', `The encoded body holds more than ${spokenBytes(maximumBytes)}.`, {
        given: bytes,
        allowed: `at most ${spokenBytes(maximumBytes)}`,
        facts: { maximumBytes },
      })
    }
    yield chunk
  }
}

function isZlibError(error: unknown): error is Error {
  return error instanceof Error && 'code' in error && String(error.code).startsWith('Z_')
}
