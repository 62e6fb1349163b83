// Bytes collected from many small chunks, up to a limit.

const FIRST_CAPACITY = 4096

/** Grows by doubling, so that a body sent byte by byte costs no more than one sent whole. */
export class ByteCollector {
  private readonly limit: number
  private buffer = new Uint8Array(FIRST_CAPACITY)
  private length = 0

  constructor(limit: number) {
    this.limit = limit
  }

  /** Keeps what still fits under the limit. */
  add(chunk: Uint8Array): void {
    const kept = chunk.subarray(0, this.limit - this.length)
    const needed = this.length + kept.length
    if (needed > this.buffer.length) {
      const grown = new Uint8Array(Math.min(this.limit, Math.max(needed, 2 * this.buffer.length)))
      grown.set(this.bytes)
      this.buffer = grown
    }
    this.buffer.set(kept, this.length)
    this.length = needed
  }

  get bytes(): Uint8Array {
    return this.buffer.subarray(0, this.length)
  }

  get isFull(): boolean {
    return this.length === this.limit
  }
}
