// Which of the cells that have been added is where.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

/** For a cell that has not been added. */
export const EMPTY = -1

/** Index of each cell that has been added: an open hash table, as the cells are few among all of the frame's. */
export class CellTable {
  private readonly mask: number
  private readonly keys: Int32Array
  private readonly values: Int32Array

  constructor(count: number) {
    const size = 2 ** Math.ceil(Math.log2(2 * count + 2))
    this.mask = size - 1
    this.keys = new Int32Array(size).fill(EMPTY)
    this.values = new Int32Array(size)
  }

  set(cell: number, index: number): void {
    const slot = this.slot(cell)
    this.keys[slot] = cell
    this.values[slot] = index
  }

  get(cell: number): number {
    const slot = this.slot(cell)
    return this.keys[slot] === cell && cell !== EMPTY ? this.values[slot]! : EMPTY
  }

  /** The cell's slot, or the free one where it would go. Multiplying by an odd constant scatters neighbours. */
  private slot(cell: number): number {
    let slot = (Math.imul(cell, 0x9e3779b1) >>> 7) & this.mask
    while (this.keys[slot] !== EMPTY && this.keys[slot] !== cell) slot = (slot + 1) & this.mask
    return slot
  }
}
