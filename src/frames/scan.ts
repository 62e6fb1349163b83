// Cells that stand out of their block: what stars and hot pixels are then looked for in. The one pass over every pixel
// beside counting, so it does as little as it can.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { isMissing } from '../fits/index.ts'
import type { Samples } from '../fits/index.ts'
import { LEVEL, SPREAD, SUM, SUM_SPREAD } from './mesh.ts'
import type { CellBox } from './mesh.ts'

/** Spreads of a cell's sum above its block's, from which a cell may belong to a star. */
export const STAR_CELL_SPREADS = 4
/** Spreads of a pixel above its level, from which it may be hot; checked again against the level at its very place. */
const HOT_PIXEL_SPREADS = 5

/**
 * Cells kept of one block, a quarter of a full one. Where more stand out (a cluster's core, a nebula's edge, a torn
 * frame), the thresholds are doubled until they fit, so that no frame can ask for unbounded work.
 */
const CELLS_KEPT = 1024
/** Doubling ends here: what still stands out everywhere is a plateau, such as a clipped disk, and is passed over. */
const STRICTEST = 1 << 20

/**
 * Lists a block row's outstanding cells.
 *
 * @param samples  the plane's samples, decoded where the block is
 * @param record  the block's figures; a block without any has no such cells
 * @param found  cell numbers (row times cells per row, plus column) are added here
 */
export function scanBlock(
  samples: Samples,
  image: { widthPx: number; blank: number },
  box: CellBox,
  record: Float64Array,
  found: number[],
): void {
  if (Number.isNaN(record[SUM])) return
  const before = found.length
  for (let strictness = 1; strictness <= STRICTEST; strictness *= 2) {
    scan(samples, image, box, thresholds(record, strictness), found)
    if (found.length - before <= CELLS_KEPT) return
    found.length = before
  }
}

function thresholds(record: Float64Array, strictness: number): Float64Array {
  const [sum, sumSpread] = [record[SUM]!, record[SUM_SPREAD]!]
  const pixels = [0, 1, 2, 3].map(
    (position) => record[LEVEL + position]! + strictness * HOT_PIXEL_SPREADS * record[SPREAD + position]!,
  )
  return Float64Array.of(sum + strictness * STAR_CELL_SPREADS * sumSpread, ...pixels)
}

function scan(
  samples: Samples,
  { widthPx, blank }: { widthPx: number; blank: number },
  box: CellBox,
  limits: Float64Array,
  found: number[],
): void {
  const cellsPerRow = widthPx >> 1
  const enough = found.length + CELLS_KEPT
  for (let cellY = box.top; cellY < box.bottom && found.length <= enough; cellY++) {
    const row = { index: 2 * (cellY * widthPx + box.left), widthPx, blank, cells: box.right - box.left }
    const firstCell = cellY * cellsPerRow + box.left
    if (samples instanceof Int16Array) scanCodes(samples, row, limits, firstCell, found)
    else scanNumbers(samples, row, limits, firstCell, found)
  }
}

interface CellRow {
  /** Of the row's first pixel. */
  index: number
  widthPx: number
  blank: number
  cells: number
}

/** Whole numbers of 16 bits: one sign tells whether any of the five limits is passed, without a branch for each. */
function scanCodes(samples: Int16Array, row: CellRow, limits: Float64Array, firstCell: number, found: number[]): void {
  const { widthPx, cells } = row
  const sum = toCode(limits[0]!)
  const limit0 = toCode(limits[1]!)
  const limit1 = toCode(limits[2]!)
  const limit2 = toCode(limits[3]!)
  const limit3 = toCode(limits[4]!)
  for (let cell = 0, index = row.index; cell < cells; cell++, index += 2) {
    const pixel0 = samples[index]!
    const pixel1 = samples[index + 1]!
    const pixel2 = samples[index + widthPx]!
    const pixel3 = samples[index + widthPx + 1]!
    const room = (sum - pixel0 - pixel1 - pixel2 - pixel3) | (limit0 - pixel0) | (limit1 - pixel1) | (limit2 - pixel2)
    if ((room | (limit3 - pixel3)) < 0 && isByValidPixels(samples, row, index, limits)) found.push(firstCell + cell)
  }
}

/** The largest code that is not above a limit, within what a sum of four codes can reach. */
function toCode(limit: number): number {
  return Math.min(LARGEST_SUM, Math.max(-LARGEST_SUM, Math.floor(limit))) | 0
}

const LARGEST_SUM = 4 * 32_768

function scanNumbers(samples: Samples, row: CellRow, limits: Float64Array, firstCell: number, found: number[]): void {
  const { widthPx, cells } = row
  for (let cell = 0, index = row.index; cell < cells; cell++, index += 2) {
    const pixel0 = samples[index]!
    const pixel1 = samples[index + 1]!
    const pixel2 = samples[index + widthPx]!
    const pixel3 = samples[index + widthPx + 1]!
    const isPassed =
      pixel0 + pixel1 + pixel2 + pixel3 > limits[0]! ||
      pixel0 > limits[1]! ||
      pixel1 > limits[2]! ||
      pixel2 > limits[3]! ||
      pixel3 > limits[4]!
    if (isPassed && isByValidPixels(samples, row, index, limits)) found.push(firstCell + cell)
  }
}

/** True unless the cell stands out by nothing but a missing pixel: the blank sample may be the highest code, or infinite. */
function isByValidPixels(samples: Samples, { widthPx, blank }: CellRow, index: number, limits: Float64Array): boolean {
  let isWhole = true
  for (let position = 0; position < 4; position++) {
    const sample = samples[index + (position >> 1) * widthPx + (position & 1)]!
    if (isMissing(blank, sample)) isWhole = false
    else if (sample > limits[1 + position]!) return true
  }
  return isWhole
}
