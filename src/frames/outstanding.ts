// The cells that stand out, looked at again one by one against the background at their very place: hot pixels are counted
// and taken out, and what remains is brightness for the star finder.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { isMissing } from '../fits/index.ts'
import { HOT_PIXEL_SPREADS, isLonelyAbove, positionOf } from './hot-pixels.ts'
import { LEVEL, SPREAD, SUM, SUM_SPREAD } from './mesh.ts'
import type { PlaneView } from './plane-view.ts'
import { STAR_CELL_SPREADS } from './scan.ts'

/** Cells brighter than their background, by number, with their height in units of the local spread. */
export interface BrightCells {
  cells: Int32Array
  heights: Float32Array
}

export interface Outstanding extends BrightCells {
  hotPixelCount: number
  /** Cells whose neighbours belong to another strip, to be looked at when all have been decoded. */
  undecided: Int32Array
}

/** What several strips have found, as one. */
export function joinOutstanding(parts: readonly Outstanding[]): Outstanding {
  const cells = parts.map((part) => part.cells)
  const undecided = parts.map((part) => part.undecided)
  return {
    cells: inOne(new Int32Array(lengthOf(cells)), cells),
    heights: inOne(
      new Float32Array(lengthOf(cells)),
      parts.map((part) => part.heights),
    ),
    hotPixelCount: parts.reduce((sum, { hotPixelCount }) => sum + hotPixelCount, 0),
    undecided: inOne(new Int32Array(lengthOf(undecided)), undecided),
  }
}

function lengthOf(lists: readonly ArrayLike<number>[]): number {
  return lists.reduce((sum, { length }) => sum + length, 0)
}

function inOne<List extends Int32Array | Float32Array>(target: List, lists: readonly List[]): List {
  let filled = 0
  for (const list of lists) {
    target.set(list, filled)
    filled += list.length
  }
  return target
}

/**
 * Sorts out the cells that a scan has listed.
 *
 * @param candidates  cell numbers, in any order
 * @derived common practice, no source: the thresholds are ours
 */
export function sortOut(plane: PlaneView, candidates: ArrayLike<number> & Iterable<number>): Outstanding {
  const cellsPerRow = plane.widthPx >> 1
  const cells = new Int32Array(candidates.length)
  const heights = new Float32Array(candidates.length)
  let kept = 0
  let hotPixelCount = 0
  for (const cell of candidates) {
    const cellX = cell % cellsPerRow
    const cellY = (cell - cellX) / cellsPerRow
    const { height, hotCount } = look(plane, cellX, cellY)
    hotPixelCount += hotCount
    if (hotCount > 0 || !(height >= STAR_CELL_SPREADS)) continue
    cells[kept] = cell
    heights[kept++] = height
  }
  return { cells: cells.slice(0, kept), heights: heights.slice(0, kept), hotPixelCount, undecided: new Int32Array() }
}

const pixelHeights = new Float64Array(4)
const hotHeights = new Float64Array(4)
const levels = new Float64Array(4)

/** Height of a cell's sum above its background, in spreads, and its hot pixels. */
function look(plane: PlaneView, cellX: number, cellY: number): { height: number; hotCount: number } {
  const { samples, widthPx, blank, background } = plane
  const index = 2 * (cellY * widthPx + cellX)
  background.moveTo(cellX, cellY)
  let sum = 0
  let isWhole = true
  for (let position = 0; position < 4; position++) {
    const sample = samples[index + (position >> 1) * widthPx + (position & 1)]!
    const isValid = !isMissing(blank, sample)
    const valid = isValid ? sample : Number.NaN
    isWhole &&= isValid
    const level = background.figure(LEVEL + position)
    levels[position] = level
    pixelHeights[position] = valid - level
    hotHeights[position] = HOT_PIXEL_SPREADS * background.figure(SPREAD + position)
    sum += valid
  }
  const above = isWhole ? sum - background.figure(SUM) : heightWithout(plane, cellX, cellY)
  return { height: above / background.figure(SUM_SPREAD), hotCount: countHot(plane, cellX, cellY) }
}

/**
 * Height of a cell some of whose pixels are missing: for each stand the valid ones about it, weighted as if light fell off
 * evenly, so that a hole in a star does not part it.
 */
function heightWithout(plane: PlaneView, cellX: number, cellY: number): number {
  let sum = 0
  for (let position = 0; position < 4; position++) {
    const height = pixelHeights[position]!
    sum += Number.isNaN(height) ? heightAround(plane, 2 * cellX + (position & 1), 2 * cellY + (position >> 1)) : height
  }
  return sum
}

/** Mean height of the valid neighbours of a pixel; NaN without any. */
function heightAround({ samples, widthPx, heightPx, blank }: PlaneView, x: number, y: number): number {
  let [sum, count] = [0, 0]
  for (let atY = Math.max(0, y - 1); atY <= Math.min(heightPx - 1, y + 1); atY++) {
    for (let atX = Math.max(0, x - 1); atX <= Math.min(widthPx - 1, x + 1); atX++) {
      const sample = samples[atY * widthPx + atX]!
      if (isMissing(blank, sample)) continue
      sum += sample - levels[positionOf(atX, atY)]!
      count++
    }
  }
  return sum / count
}

/** Hot pixels of the cell that has been looked at. */
function countHot(plane: PlaneView, cellX: number, cellY: number): number {
  let count = 0
  for (let position = 0; position < 4; position++) {
    const height = pixelHeights[position]!
    if (!(height > hotHeights[position]!)) continue
    if (isLonelyAbove(levels, plane, 2 * cellX + (position & 1), 2 * cellY + (position >> 1), height)) count++
  }
  return count
}
