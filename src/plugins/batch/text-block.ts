// Gathers lines as bytes. Written one by one into a block: to join strings first and to encode the whole costs as much as
// a fifth of an answer.

const MOST_BYTES_PER_UNIT = 3

export class TextBlock {
  #block: Buffer<ArrayBuffer>
  #length = 0

  /** @param block  where lines are written while they have room there */
  constructor(block: ArrayBuffer) {
    this.#block = Buffer.from(block)
  }

  add(text: string): void {
    const needed = this.#length + MOST_BYTES_PER_UNIT * text.length
    if (needed > this.#block.length) {
      const larger = Buffer.from(new ArrayBuffer(2 * needed))
      larger.set(this.#block.subarray(0, this.#length))
      this.#block = larger
    }
    this.#length += this.#block.write(text, this.#length)
  }

  /** What was added. */
  get bytes(): Uint8Array<ArrayBuffer> {
    return new Uint8Array(this.#block.buffer, 0, this.#length)
  }
}
