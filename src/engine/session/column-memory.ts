// Memory of long columns, used again for the next ones. Those of a hundred thousand subs are gone through for half a second
// and then left behind, and a collector comes for them only when much more lies about.

interface Kind<Column> {
  readonly BYTES_PER_ELEMENT: number
  new (count: number): Column
  new (block: ArrayBuffer, at: number, count: number): Column
}

/**
 * A block that columns are taken from in a row, all zero. What it has no room for, and all without a block, gets memory of
 * its own.
 *
 * @derived each column begins on a multiple of eight bytes
 */
export class ColumnMemory {
  readonly #block: ArrayBuffer
  #usedBytes = 0
  /** Beyond these nothing was ever written. */
  #touchedBytes = 0

  /** @param bytes  of the block, ≥ 0 */
  constructor(bytes = 0) {
    this.#block = new ArrayBuffer(bytes)
  }

  float64(count: number): Float64Array {
    return this.#take(Float64Array, count)
  }

  float32(count: number): Float32Array {
    return this.#take(Float32Array, count)
  }

  uint32(count: number): Uint32Array {
    return this.#take(Uint32Array, count)
  }

  int32(count: number): Int32Array {
    return this.#take(Int32Array, count)
  }

  uint8(count: number): Uint8Array {
    return this.#take(Uint8Array, count)
  }

  /** How much of the block is taken. */
  get usedBytes(): number {
    return this.#usedBytes
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

  #take<Column extends { fill: (value: number) => unknown }>(kind: Kind<Column>, count: number): Column {
    const at = this.#usedBytes
    const end = at + 8 * Math.ceil((kind.BYTES_PER_ELEMENT * count) / 8)
    if (end > this.#block.byteLength) return new kind(count)
    this.#usedBytes = end
    const column = new kind(this.#block, at, count)
    if (at < this.#touchedBytes) column.fill(0)
    this.#touchedBytes = Math.max(this.#touchedBytes, end)
    return column
  }
}
