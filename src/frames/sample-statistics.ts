// Exact statistics of one channel, in sample units; how they were counted (every value, or by selection) is not seen.

import { physicalAdu } from '../fits/index.ts'
import type { SampleScale } from '../fits/index.ts'
import type { Channel } from './picture.ts'

/** In units of the samples. Without a valid pixel there are no statistics. */
export interface SampleStatistics {
  validCount: number
  missingCount: number
  median: number
  /** Median of the absolute deviations from the median, not scaled. */
  medianDeviation: number
  mean: number
  minimum: number
  maximum: number
  /** Pixels that show the maximum itself, and those just below it (see `saturation.ts`). */
  atMaximumCount: number
  nearMaximumCount: number
}

/** For a channel without a valid pixel. */
export const NO_STATISTICS: SampleStatistics = {
  validCount: 0,
  missingCount: 0,
  median: 0,
  medianDeviation: 0,
  mean: 0,
  minimum: 0,
  maximum: 0,
  atMaximumCount: 0,
  nearMaximumCount: 0,
}

/** What a frame's pixels of one colour are like, in ADU. */
export interface ChannelStatistics {
  channel: Channel
  medianAdu: number
  /** Median absolute deviation from the median, not scaled to a standard deviation. */
  madAdu: number
  meanAdu: number
  minimumAdu: number
  maximumAdu: number
  /** Share of the valid pixels that stand at the saturation level or above; null where no level is known. */
  clippedShare: number | null
  /** Share of the valid pixels at the minimum, where that is the lowest code or 0 ADU; else 0. */
  darkClippedShare: number
  /** Share of all pixels that are blank, NaN or infinite. */
  missingShare: number
}

/** Share of the span between median and maximum that counts as just below the maximum. */
export const NEAR_MAXIMUM_SHARE = 0.02

/** @returns lowest sample of the span just below the maximum, which holds one whole sample value at least */
export function nearMaximumFrom(median: number, maximum: number, isInteger: boolean): number {
  return maximum - Math.max(NEAR_MAXIMUM_SHARE * (maximum - median), isInteger ? 1 : 0)
}

/** Puts a channel's statistics into ADU. */
export function toAdu(
  channel: Channel,
  statistics: SampleStatistics,
  scale: SampleScale,
  shares: Pick<ChannelStatistics, 'clippedShare' | 'darkClippedShare'>,
): ChannelStatistics {
  return {
    channel,
    medianAdu: physicalAdu(scale, statistics.median),
    madAdu: scale.scaleAdu * statistics.medianDeviation,
    meanAdu: physicalAdu(scale, statistics.mean),
    minimumAdu: physicalAdu(scale, statistics.minimum),
    maximumAdu: physicalAdu(scale, statistics.maximum),
    ...shares,
    missingShare: statistics.missingCount / (statistics.missingCount + statistics.validCount),
  }
}
