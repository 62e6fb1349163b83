// Where the stars are: every bright peak that rises far enough above the saddle to a higher one. Cells are taken in order
// of brightness and grow into islands; when two islands meet, the lower one is a star of its own if it stands out, and
// ripple on a brighter star's flank if not (persistence of peaks, a watershed by descending level).
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import type { BrightCells } from './outstanding.ts'
import { CellTable, EMPTY } from './cell-table.ts'

/** Spreads of the background by which a peak stands out, ... */
const PEAK_SPREADS = 6
/** ... and the share of its own height that it must rise above the saddle. */
const SADDLE_SHARE = 0.15

/** A peak with the cells that belong to it. */
export interface StarPeak {
  cellX: number
  cellY: number
  /** Height of the brightest cell above its background, in spreads. */
  height: number
  cellCount: number
}

/** Bits below the height in a sorting key: more cells than can be listed. */
const INDEX_VALUES = 2 ** 23

/**
 * Finds the peaks.
 *
 * @param bright  cells above the background
 * @param cellsPerRow  to tell cell numbers that are neighbours
 * @returns brightest first
 * @derived zero-dimensional persistence of the brightness, from above
 */
export function starPeaks({ cells, heights }: BrightCells, cellsPerRow: number): StarPeak[] {
  const islands = new Islands(cells, heights, cellsPerRow)
  for (const index of brightestFirst(heights)) islands.add(index)
  return islands.peaks()
}

class Islands {
  private readonly cells: Int32Array
  private readonly heights: Float32Array
  private readonly cellsPerRow: number
  private readonly table: CellTable
  /** Parent of each cell on the way to its island's peak, by index; the peak is its own parent. */
  private readonly parents: Int32Array
  private readonly sizes: Int32Array
  private readonly stars: number[] = []

  constructor(cells: Int32Array, heights: Float32Array, cellsPerRow: number) {
    this.cells = cells
    this.heights = heights
    this.cellsPerRow = cellsPerRow
    this.table = new CellTable(cells.length)
    this.parents = new Int32Array(cells.length).fill(EMPTY)
    this.sizes = new Int32Array(cells.length).fill(1)
  }

  add(index: number): void {
    const cell = this.cells[index]!
    this.parents[index] = index
    this.table.set(cell, index)
    const column = cell % this.cellsPerRow
    for (let rowStep = -1; rowStep <= 1; rowStep++) {
      for (let step = -1; step <= 1; step++) {
        const isOwn = rowStep === 0 && step === 0
        if (isOwn || column + step < 0 || column + step >= this.cellsPerRow) continue
        const neighbor = this.table.get(cell + rowStep * this.cellsPerRow + step)
        if (neighbor !== EMPTY) this.join(index, neighbor)
      }
    }
  }

  peaks(): StarPeak[] {
    const last = Array.from(this.parents.keys()).filter((index) => this.parents[index] === index && this.isHigh(index))
    return [...this.stars, ...last]
      .map((index) => this.peak(index))
      .sort((one, other) => other.height - one.height || one.cellY - other.cellY || one.cellX - other.cellX)
  }

  /** The cell at `index` is the lowest so far: the saddle between the islands it touches. */
  private join(index: number, neighbor: number): void {
    const one = this.root(index)
    const other = this.root(neighbor)
    if (one === other) return
    const isOneHigher = this.isBrighter(one, other)
    const [higher, lower] = isOneHigher ? [one, other] : [other, one]
    const height = this.heights[lower]!
    const rise = height - this.heights[index]!
    const isStar = this.isHigh(lower) && rise >= Math.max(PEAK_SPREADS, SADDLE_SHARE * height)
    if (isStar) this.stars.push(lower)
    else this.sizes[higher]! += this.sizes[lower]!
    this.parents[lower] = higher
  }

  private isHigh(index: number): boolean {
    return this.heights[index]! >= PEAK_SPREADS
  }

  /** Brighter, or as bright and first in the frame, so that the result hangs on no order. */
  private isBrighter(one: number, other: number): boolean {
    const difference = this.heights[one]! - this.heights[other]!
    return difference > 0 || (difference === 0 && this.cells[one]! < this.cells[other]!)
  }

  private root(index: number): number {
    let at = index
    while (this.parents[at] !== at) {
      // Halving the path on the way keeps it short.
      this.parents[at] = this.parents[this.parents[at]!]!
      at = this.parents[at]!
    }
    return at
  }

  private peak(index: number): StarPeak {
    const cell = this.cells[index]!
    const cellX = cell % this.cellsPerRow
    return {
      cellX,
      cellY: (cell - cellX) / this.cellsPerRow,
      height: this.heights[index]!,
      cellCount: this.sizes[index]!,
    }
  }
}

/** Indices in order of falling height, ties by index: height and index packed into one double that sorts natively. */
function brightestFirst(heights: Float32Array): Int32Array {
  const bits = new Uint32Array(heights.slice().buffer)
  const keys = new Float64Array(bits.length)
  // The bits of a positive float grow with it, and the upper 30 of them with the index fit a double's 53.
  for (let index = 0; index < bits.length; index++) {
    keys[index] = (bits[index]! >>> 1) * INDEX_VALUES + (INDEX_VALUES - 1 - index)
  }
  keys.sort().reverse()
  const order = new Int32Array(keys.length)
  for (let rank = 0; rank < keys.length; rank++) order[rank] = INDEX_VALUES - 1 - (keys[rank]! % INDEX_VALUES)
  return order
}
