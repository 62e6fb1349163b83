// Gathers lines as bytes. Written one by one into a block that is used again: to join strings first and to encode the
// whole costs as much as a fifth of an answer.

const MOST_BYTES_PER_UNIT = 3

export class TextBlock {
  #block = Buffer.allocUnsafeSlow(262_144)
  #length = 0

  add(text: string): void {
    const needed = this.#length + MOST_BYTES_PER_UNIT * text.length
    if (needed > this.#block.length) {
      const larger = Buffer.allocUnsafeSlow(2 * needed)
      larger.set(this.#block.subarray(0, this.#length))
      this.#block = larger
    }
    this.#length += this.#block.write(text, this.#length)
  }

  /** What was added, in memory of its own; the block is empty again. */
  take(): Uint8Array<ArrayBuffer> {
    const bytes = new Uint8Array(this.#block.subarray(0, this.#length))
    this.#length = 0
    return bytes
  }
}
