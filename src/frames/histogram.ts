// Exact statistics from the counts of every sample value (integers of up to 16 bits).
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { SAMPLE_VALUES } from './picture.ts'
import type { Position } from './picture.ts'
import { NO_STATISTICS, nearMaximumFrom } from './sample-statistics.ts'
import type { SampleStatistics } from './sample-statistics.ts'

/** Offset from a sample to its bin: bins are in the order of the samples. */
const FIRST_SAMPLE = -SAMPLE_VALUES / 2

/** Pixels of one channel by sample value. */
export interface Histogram {
  /** Index 0 is sample -32768. */
  bins: Float64Array
  validCount: number
  missingCount: number
}

/**
 * The counts of some positions of a cell in one histogram.
 *
 * @param counts  as `countRows` leaves them
 * @param blankSample  the sample that stands for a missing pixel, or null
 * @returns counts by sample value, the missing pixels apart
 */
export function histogramOf(
  counts: Uint32Array,
  positions: readonly Position[],
  blankSample: number | null,
): Histogram {
  const bins = new Float64Array(SAMPLE_VALUES)
  for (const position of positions) {
    for (let bin = 0; bin < SAMPLE_VALUES; bin++) {
      const unsigned = (bin + FIRST_SAMPLE) & 0xffff
      bins[bin]! += counts[position * SAMPLE_VALUES + unsigned]!
    }
  }
  const blankBin = blankSample === null ? -1 : blankSample - FIRST_SAMPLE
  const missingCount = bins[blankBin] ?? 0
  if (blankBin in bins) bins[blankBin] = 0
  return { bins, validCount: sumFrom(bins, 0), missingCount }
}

/**
 * Median, median absolute deviation, mean and extremes, all exact.
 *
 * @returns in sample units; `validCount` 0, and zeros, where no pixel is valid
 * @derived order statistics of grouped data whose groups are single values
 */
export function histogramStatistics(histogram: Histogram): SampleStatistics {
  const { bins, validCount, missingCount } = histogram
  if (validCount === 0) return { ...NO_STATISTICS, missingCount }
  const minimum = bins.findIndex((count) => count > 0) + FIRST_SAMPLE
  const maximum = bins.findLastIndex((count) => count > 0) + FIRST_SAMPLE
  const median = (middle(bins, validCount, 'lower') + middle(bins, validCount, 'upper')) / 2 + FIRST_SAMPLE
  const nearFrom = nearMaximumFrom(median, maximum, true)
  return {
    validCount,
    missingCount,
    median,
    medianDeviation: medianDeviation(histogram, median),
    mean: mean(histogram),
    minimum,
    maximum,
    atMaximumCount: bins[maximum - FIRST_SAMPLE] ?? 0,
    nearMaximumCount: sumFrom(bins, Math.ceil(nearFrom) - FIRST_SAMPLE) - (bins[maximum - FIRST_SAMPLE] ?? 0),
  }
}

/** Valid pixels with this sample value or a higher one. */
export function countFrom({ bins }: Histogram, sample: number): number {
  return sumFrom(bins, Math.max(0, Math.ceil(sample - FIRST_SAMPLE)))
}

/** 1/Φ⁻¹(3/4): a normal distribution's standard deviation over its median absolute deviation. */
export const NORMAL_PER_MAD = 1.482602218505602

function middle(bins: Float64Array, count: number, which: 'lower' | 'upper'): number {
  const rank = which === 'lower' ? (count - 1) >> 1 : count >> 1
  let seen = 0
  return bins.findIndex((pixels) => (seen += pixels) > rank)
}

/** Deviations from a median that may lie half-way between samples are whole numbers of half samples. */
function medianDeviation({ bins, validCount }: Histogram, median: number): number {
  const deviations = new Float64Array(2 * SAMPLE_VALUES)
  bins.forEach((pixels, bin) => {
    const halves = Math.abs(2 * (bin + FIRST_SAMPLE - median))
    deviations[halves]! += pixels
  })
  return (middle(deviations, validCount, 'lower') + middle(deviations, validCount, 'upper')) / 4
}

function mean({ bins, validCount }: Histogram): number {
  const sum = bins.reduce((total, pixels, bin) => total + pixels * (bin + FIRST_SAMPLE), 0)
  return sum / validCount
}

function sumFrom(bins: Float64Array, from: number): number {
  let sum = 0
  for (let bin = from; bin < bins.length; bin++) sum += bins[bin]!
  return sum
}
