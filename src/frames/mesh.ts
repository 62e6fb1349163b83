// A first look at the background, block by block, good enough to tell what stands out of it: from a sample of cells, the
// mean and spread of those within three robust deviations of the median.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import type { Samples } from '../fits/index.ts'
import { isMissing } from '../fits/index.ts'
import { NORMAL_PER_MAD } from './histogram.ts'
import { MESH_FIELDS } from './picture.ts'
import type { PictureLayout } from './picture.ts'

/** Places of the figures in a block's record. */
export const SUM = 0
export const SUM_SPREAD = 1
export const LEVEL = 2
export const SPREAD = 6

/** Cells looked at in a block, about; the median of so many is good to a tenth of their spread. */
const SAMPLED_CELLS = 160
/** Fewer valid cells say nothing about a block. */
const FEWEST_CELLS = 12
const CLIP = 3
/** 1 − 2κ φ(κ)/(2Φ(κ) − 1) at κ = 3: what the cut leaves of a normal variance. */
const CUT_VARIANCE = 0.9733369246625415
/** Spread that integer samples have at least: of rounding to whole numbers, 1/√12. */
const ROUNDING_SPREAD = 0.28867513459481287

const sums = new Float64Array(4 * SAMPLED_CELLS)
const scratch = new Float64Array(4 * SAMPLED_CELLS)
const pixels = new Float64Array(16 * SAMPLED_CELLS)

/** Cells from (`left`, `top`) to before (`right`, `bottom`). */
export interface CellBox {
  left: number
  top: number
  right: number
  bottom: number
}

export function blockBox({ columnEdges, rowEdges }: PictureLayout, column: number, row: number): CellBox {
  return {
    left: columnEdges[column]!,
    right: columnEdges[column + 1]!,
    top: rowEdges[row]!,
    bottom: rowEdges[row + 1]!,
  }
}

/**
 * Measures one block.
 *
 * @param samples  the plane's samples, decoded where the block is
 * @param record  {@link MESH_FIELDS} figures to fill, in sample units; NaN where too few cells are valid
 * @derived moments of a normal distribution cut at ±3σ
 */
export function measureBlock(
  samples: Samples,
  image: { widthPx: number; blank: number },
  box: CellBox,
  record: Float64Array,
): void {
  const count = gather(samples, image, box)
  if (count < FEWEST_CELLS) {
    record.fill(Number.NaN)
    return
  }
  scratch.set(sums.subarray(0, count))
  const median = quickSelect(scratch, count, count >> 1)
  for (let cell = 0; cell < count; cell++) scratch[cell] = Math.abs(sums[cell]! - median)
  const deviation = NORMAL_PER_MAD * quickSelect(scratch, count, count >> 1)
  const floor = samples instanceof Float32Array || samples instanceof Float64Array ? 1e-6 * Math.abs(median) + 1e-30 : 1
  accumulate(count, median, CLIP * Math.max(deviation, floor), record)
  applyFloor(record, floor * ROUNDING_SPREAD)
}

/** Collects sums and pixels of evenly spread cells; returns how many are whole. */
function gather(samples: Samples, image: { widthPx: number; blank: number }, box: CellBox): number {
  const { widthPx, blank } = image
  const perCell = Math.max(1, ((box.right - box.left) * (box.bottom - box.top)) / SAMPLED_CELLS)
  const stepX = Math.max(1, Math.round(Math.sqrt(perCell / 2)))
  const stepY = Math.max(1, Math.round(perCell / stepX))
  let count = 0
  for (let cellY = box.top; cellY < box.bottom; cellY += stepY) {
    for (let cellX = box.left; cellX < box.right; cellX += stepX) {
      const index = 2 * cellY * widthPx + 2 * cellX
      const [pixel0, pixel1] = [samples[index]!, samples[index + 1]!]
      const [pixel2, pixel3] = [samples[index + widthPx]!, samples[index + widthPx + 1]!]
      const sum = pixel0 + pixel1 + pixel2 + pixel3
      if (isMissing(Number.NaN, sum)) continue
      if (pixel0 === blank || pixel1 === blank || pixel2 === blank || pixel3 === blank) continue
      sums[count] = sum
      pixels[4 * count] = pixel0
      pixels[4 * count + 1] = pixel1
      pixels[4 * count + 2] = pixel2
      pixels[4 * count + 3] = pixel3
      count++
    }
  }
  return count
}

/** Mean and spread of the cells whose sums lie within reach of the center, and of their pixels. */
function accumulate(count: number, center: number, reach: number, record: Float64Array): void {
  const quarter = center / 4
  let inside = 0
  record.fill(0)
  for (let cell = 0; cell < count; cell++) {
    const excess = sums[cell]! - center
    if (!(Math.abs(excess) <= reach)) continue
    inside++
    record[SUM]! += excess
    record[SUM_SPREAD]! += excess * excess
    for (let position = 0; position < 4; position++) {
      const pixel = pixels[4 * cell + position]! - quarter
      record[LEVEL + position]! += pixel
      record[SPREAD + position]! += pixel * pixel
    }
  }
  toMoments(record, SUM, SUM_SPREAD, inside, center)
  record[SUM_SPREAD]! /= Math.sqrt(CUT_VARIANCE)
  for (let position = 0; position < 4; position++)
    toMoments(record, LEVEL + position, SPREAD + position, inside, quarter)
}

/** Turns a sum and a sum of squares into a mean and a standard deviation. */
function toMoments(record: Float64Array, sum: number, squares: number, count: number, origin: number): void {
  const mean = record[sum]! / count
  record[squares] = Math.sqrt(Math.max(0, record[squares]! / count - mean * mean))
  record[sum] = origin + mean
}

function applyFloor(record: Float64Array, floor: number): void {
  record[SUM_SPREAD] = Math.max(record[SUM_SPREAD]!, 2 * floor)
  for (let position = 0; position < 4; position++) {
    record[SPREAD + position] = Math.max(record[SPREAD + position]!, floor)
  }
}

/** The number of a rank among the first `count`, which are reordered. Hoare's algorithm with the middle as pivot. */
export function quickSelect(values: Float64Array, count: number, rank: number): number {
  let left = 0
  let right = count - 1
  while (left < right) {
    const pivot = values[(left + right) >> 1]!
    let low = left
    let high = right
    while (low <= high) {
      while (values[low]! < pivot) low++
      while (values[high]! > pivot) high--
      if (low > high) break
      const moved = values[low]!
      values[low++] = values[high]!
      values[high--] = moved
    }
    if (rank <= high) right = high
    else if (rank >= low) left = low
    else break
  }
  return values[rank]!
}

/** A block's record within its plane's mesh. */
export function blockRecord(mesh: Float64Array, block: number): Float64Array {
  return mesh.subarray(block * MESH_FIELDS, (block + 1) * MESH_FIELDS)
}
