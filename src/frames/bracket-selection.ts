// Selecting the middle numbers by way of a sample: it tells between which bounds they almost surely lie, one pass counts
// what is below and keeps what is between, and the answer is exact whenever the bounds hold.
// After Floyd & Rivest 1975, Commun. ACM 18, 165.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { LARGEST_MAGNITUDE } from '../fits/index.ts'
import { latticePixels } from './lattice.ts'
import type { SelectionInput } from './lattice.ts'
import { quickSelect } from './mesh.ts'

/** The sample's median is good to a rank of half a part in its root, 0.2 %; the bounds lie five times as far. */
const SAMPLE_SIZE = 1 << 16
const BOUND_SHARE = 0.01
/** Share of all numbers that may lie between the bounds; more do where many are alike. */
const KEPT_SHARE = 0.05

/**
 * The two middle numbers (one twice, for an odd count) of the samples, or of their distances from a center.
 *
 * @returns undefined where the bounds do not hold or too many numbers lie between them
 */
export function middlesByBracket(
  input: SelectionInput,
  validCount: number,
  center: number | null,
): { lower: number; upper: number } | undefined {
  const bounds = bracket(input, center)
  if (!bounds) return undefined
  const kept = new Float64Array(Math.max(SAMPLE_SIZE, Math.ceil(KEPT_SHARE * validCount)))
  const { below, count } = keepBetween(input, center, bounds, kept)
  const lowerRank = ((validCount - 1) >> 1) - below
  const upperRank = (validCount >> 1) - below
  if (count > kept.length || lowerRank < 0 || upperRank >= count) return undefined
  const lower = quickSelect(kept, count, lowerRank)
  return { lower, upper: upperRank === lowerRank ? lower : quickSelect(kept, count, upperRank) }
}

interface Bounds {
  from: number
  to: number
}

function bracket(input: SelectionInput, center: number | null): Bounds | undefined {
  const sample = sampleOf(input, center)
  if (sample.length === 0) return undefined
  sample.sort()
  const from = sample[Math.floor((0.5 - BOUND_SHARE) * (sample.length - 1))]!
  const to = sample[Math.ceil((0.5 + BOUND_SHARE) * (sample.length - 1))]!
  return { from, to }
}

/** Valid numbers at even steps through the lattices. */
function sampleOf({ samples, lattices, blank }: SelectionInput, center: number | null): Float64Array {
  const sample = new Float64Array(SAMPLE_SIZE + lattices.length)
  const step = Math.max(1, latticePixels(lattices) / SAMPLE_SIZE)
  let filled = 0
  for (const { start, stride, count, rowStride, rows } of lattices) {
    for (let place = 0; place < rows * count; place += step) {
      const pixel = Math.floor(place)
      const row = Math.floor(pixel / count)
      const value = samples[start + row * rowStride + (pixel - row * count) * stride]!
      if (!(Math.abs(value) <= LARGEST_MAGNITUDE) || value === blank) continue
      sample[filled++] = center === null ? value : Math.abs(value - center)
    }
  }
  return sample.subarray(0, filled)
}

/** Counts the valid numbers below and between the bounds; keeps the latter as far as there is room. */
function keepBetween(
  { samples, lattices, blank }: SelectionInput,
  center: number | null,
  { from, to }: Bounds,
  kept: Float64Array,
): { below: number; count: number } {
  let below = 0
  let count = 0
  for (const lattice of lattices) {
    for (let row = 0; row < lattice.rows; row++) {
      const start = lattice.start + row * lattice.rowStride
      const end = start + lattice.stride * lattice.count
      for (let index = start; index < end; index += lattice.stride) {
        const sample = samples[index]!
        if (!(Math.abs(sample) <= LARGEST_MAGNITUDE) || sample === blank) continue
        const value = center === null ? sample : Math.abs(sample - center)
        // Half of the numbers lie on either side, in no order: adding 0 or 1 is faster than guessing which way to branch.
        const isBelow = Number(value < from)
        below += isBelow
        // Beyond the room, writing has no effect; the count tells.
        if (isBelow === Number(value > to)) kept[count++] = value
      }
    }
  }
  return { below, count }
}
