// Exact statistics of samples of 32 or 64 bits, which have too many values to count each: the middle ones are selected.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { LARGEST_MAGNITUDE } from '../fits/index.ts'
import { middlesByBracket } from './bracket-selection.ts'
import { latticePixels } from './lattice.ts'
import type { SelectionInput } from './lattice.ts'
import { middlesByRadix } from './radix-selection.ts'
import { NO_STATISTICS, nearMaximumFrom } from './sample-statistics.ts'
import type { SampleStatistics } from './sample-statistics.ts'

/**
 * Median, median absolute deviation, mean and extremes, all exact (the mean to rounding).
 *
 * @returns in sample units; `validCount` 0, and zeros, where no pixel is valid
 * @derived selection by rank
 */
export function wideStatistics(input: SelectionInput): SampleStatistics {
  const summary = summarize(input)
  if (summary.validCount === 0) return { ...NO_STATISTICS, missingCount: summary.missingCount }
  const median = middle(input, summary.validCount, null)
  const nearFrom = nearMaximumFrom(median, summary.maximum, input.samples instanceof Int32Array)
  return {
    validCount: summary.validCount,
    missingCount: summary.missingCount,
    minimum: summary.minimum,
    maximum: summary.maximum,
    atMaximumCount: summary.atMaximumCount,
    median,
    medianDeviation: middle(input, summary.validCount, median),
    mean: summary.sum / summary.validCount,
    nearMaximumCount: countAtLeast(input, nearFrom) - summary.atMaximumCount,
  }
}

/** Valid pixels with this sample value or a higher one. */
export function countAtLeast({ samples, lattices, blank }: SelectionInput, threshold: number): number {
  let count = 0
  for (const lattice of lattices) {
    for (let row = 0; row < lattice.rows; row++) {
      const start = lattice.start + row * lattice.rowStride
      const end = start + lattice.stride * lattice.count
      for (let index = start; index < end; index += lattice.stride) {
        const sample = samples[index]!
        if (sample >= threshold && sample <= LARGEST_MAGNITUDE && sample !== blank) count++
      }
    }
  }
  return count
}

interface Summary {
  validCount: number
  missingCount: number
  sum: number
  minimum: number
  maximum: number
  atMaximumCount: number
}

function summarize({ samples, lattices, blank }: SelectionInput): Summary {
  let validCount = 0
  let sum = 0
  let minimum = Infinity
  let maximum = -Infinity
  let atMaximumCount = 0
  for (const { start, stride, count, rowStride, rows } of lattices) {
    for (let row = 0; row < rows; row++) {
      const first = start + row * rowStride
      const end = first + stride * count
      for (let index = first; index < end; index += stride) {
        const sample = samples[index]!
        if (!(Math.abs(sample) <= LARGEST_MAGNITUDE) || sample === blank) continue
        validCount++
        sum += sample
        if (sample < minimum) minimum = sample
        if (sample > maximum) {
          maximum = sample
          atMaximumCount = 0
        }
        if (sample === maximum) atMaximumCount++
      }
    }
  }
  return { validCount, missingCount: latticePixels(lattices) - validCount, sum, minimum, maximum, atMaximumCount }
}

/** Mean of the two middle numbers: of the samples, or of their distances from a center. */
function middle(input: SelectionInput, validCount: number, center: number | null): number {
  const { lower, upper } = middlesByBracket(input, validCount, center) ?? middlesByRadix(input, validCount, center)
  return lower / 2 + upper / 2
}
