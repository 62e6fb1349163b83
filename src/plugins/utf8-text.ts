// Bytes to text, piece by piece. Bytes that are no UTF-8 are refused: decoding would put replacement characters in their
// place in silence. Who looks for those takes them.

import { isAscii } from 'node:buffer'
import { ProblemError } from '../contract/problem.ts'

export class Utf8Text {
  readonly #decoder: InstanceType<typeof TextDecoder>
  #isPlain = true

  /** @param options.isLenient  whether bytes that are no UTF-8 become U+FFFD */
  constructor({ isLenient = false }: { isLenient?: boolean } = {}) {
    this.#decoder = new TextDecoder('utf-8', { fatal: !isLenient })
  }

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
