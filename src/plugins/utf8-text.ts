// Bytes to text, piece by piece. Bytes that are no UTF-8 are refused: decoding would put replacement characters in their
// place in silence.

import { isAscii } from 'node:buffer'
import { ProblemError } from '../contract/problem.ts'

export class Utf8Text {
  readonly #decoder = new TextDecoder('utf-8', { fatal: true })
  #isPlain = true

  /** @throws {ProblemError} `unreadable-request` */
  next(bytes: Uint8Array): string {
    // Most logs are ASCII throughout, which needs no decoding; the first other byte ends that for good.
    this.#isPlain &&= isAscii(bytes)
    return this.#isPlain
      ? Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1')
      : this.#decode(bytes)
  }

  /** What is left at the end. */
  end(): string {
    return this.#decode()
  }

  #decode(bytes?: Uint8Array): string {
    try {
      return this.#decoder.decode(bytes, { stream: bytes !== undefined })
    } catch {
      throw new ProblemError('unreadable-request', 'The body is not UTF-8.')
    }
  }
}
