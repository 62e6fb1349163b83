// Where the light of found stars still shows: cells that the background is not measured on.

import type { StarPeak } from './star-peaks.ts'

/** Side of a mask square in cells, as a power of two. */
const SHIFT = 2
/** Spreads of a cell below which a star's wing no longer matters. */
const FAINTEST_WING = 0.05
/** Moffat exponent of the wing that is assumed: shallower than that of most stars through the air. */
const WING_EXPONENT = 2.5
const LARGEST_RADIUS_CELLS = 250

export class StarMask {
  private readonly columns: number
  private readonly rows: number
  private readonly squares: Uint8Array

  constructor(cellsWide: number, cellsHigh: number) {
    this.columns = (cellsWide >> SHIFT) + 1
    this.rows = (cellsHigh >> SHIFT) + 1
    this.squares = new Uint8Array(this.columns * this.rows)
  }

  /** First cell from `cellX` on, in its row, that is covered; the cell itself where it is; beyond the frame for none. */
  endOfFree(cellX: number, cellY: number): number {
    return this.endOf(0, cellX, cellY)
  }

  /** First cell from `cellX` on, in its row, that is not covered. */
  endOfCovered(cellX: number, cellY: number): number {
    return this.endOf(1, cellX, cellY)
  }

  /**
   * Covers a star as far as a Moffat profile of its height and width reaches.
   *
   *     r = FWHM/2 · sqrt(((h/f)^(1/β) − 1) / (2^(1/β) − 1))
   *
   * @derived radius at which the profile of height h has fallen to f
   */
  cover({ cellX, cellY, height, cellCount }: StarPeak, fwhmCells: number): void {
    const fall = Math.max(1, height / FAINTEST_WING) ** (1 / WING_EXPONENT)
    const wing = (fwhmCells / 2) * Math.sqrt((fall - 1) / (2 ** (1 / WING_EXPONENT) - 1))
    // A clipped star's height says little; the area above the threshold says the rest.
    const radius = Math.min(LARGEST_RADIUS_CELLS, Math.max(wing, 2 * Math.sqrt(cellCount / Math.PI)) + 1)
    this.coverDisk(cellX, cellY, radius)
  }

  private endOf(state: 0 | 1, cellX: number, cellY: number): number {
    const row = (cellY >> SHIFT) * this.columns
    let column = cellX >> SHIFT
    if (this.squares[row + column] !== state) return cellX
    while (column < this.columns && this.squares[row + column] === state) column++
    return column << SHIFT
  }

  private coverDisk(cellX: number, cellY: number, radius: number): void {
    const toRow = Math.min(this.rows - 1, (cellY + radius) >> SHIFT)
    for (let row = Math.max(0, (cellY - radius) >> SHIFT); row <= toRow; row++) {
      const nearestY = Math.max(row << SHIFT, Math.min(cellY, ((row + 1) << SHIFT) - 1))
      const half = Math.sqrt(Math.max(0, radius ** 2 - (nearestY - cellY) ** 2))
      const from = Math.max(0, (cellX - half) >> SHIFT)
      const to = Math.min(this.columns - 1, (cellX + half) >> SHIFT)
      this.squares.fill(1, row * this.columns + from, row * this.columns + to + 1)
    }
  }
}
