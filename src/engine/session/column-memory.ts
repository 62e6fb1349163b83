// Memory of long columns, used again for the next ones. Those of a hundred thousand subs are gone through for half a second
// and then left behind, and a collector comes for them only when much more lies about.

/**
 * A block that columns are taken from in a row. What it has no room for, and all without a block, gets memory of its own.
 *
 * @derived each column begins on a multiple of eight bytes
 */
export class ColumnMemory {
  readonly #block: ArrayBuffer
  #usedBytes = 0

  /** @param bytes  of the block, ≥ 0 */
  constructor(bytes = 0) {
    this.#block = new ArrayBuffer(bytes)
  }

  /** @returns zeros */
  int32(count: number): Int32Array {
    const at = this.#placeOf(4 * count)
    return at === null ? new Int32Array(count) : new Int32Array(this.#block, at, count).fill(0)
  }

  /** @returns zeros */
  uint8(count: number): Uint8Array {
    const at = this.#placeOf(count)
    return at === null ? new Uint8Array(count) : new Uint8Array(this.#block, at, count).fill(0)
  }

  /** How much of the block is taken. */
  get usedBytes(): number {
    return this.#usedBytes
  }

  /** @returns zeros */
  float64(count: number): Float64Array {
    const at = this.#placeOf(8 * count)
    return at === null ? new Float64Array(count) : new Float64Array(this.#block, at, count).fill(0)
  }

  /** @returns zeros */
  float32(count: number): Float32Array {
    const at = this.#placeOf(4 * count)
    return at === null ? new Float32Array(count) : new Float32Array(this.#block, at, count).fill(0)
  }

  /** @returns zeros */
  uint32(count: number): Uint32Array {
    const at = this.#placeOf(4 * count)
    return at === null ? new Uint32Array(count) : new Uint32Array(this.#block, at, count).fill(0)
  }

  /**
   * Takes back what was taken since.
   *
   * @param usedBytes  as it stood then; columns from later on are no longer anyone's
   */
  backTo(usedBytes: number): void {
    this.#usedBytes = usedBytes
  }

  /** Does what needs columns for a while, and takes them back. */
  within<Result>(work: () => Result): Result {
    const before = this.#usedBytes
    try {
      return work()
    } finally {
      this.backTo(before)
    }
  }

  #placeOf(bytes: number): number | null {
    const at = this.#usedBytes
    const end = at + 8 * Math.ceil(bytes / 8)
    if (end > this.#block.byteLength) return null
    this.#usedBytes = end
    return at
  }
}
