// The level at which pixels are clipped: told by the caller, shown by the pixels themselves, or the largest code there is.

import { largestSample, physicalAdu, sampleOf } from '../fits/index.ts'
import type { FitsImage } from '../fits/index.ts'
import type { SampleStatistics } from './sample-statistics.ts'

/**
 * How the saturation level is known: `given` by the caller; `pile-up` where many pixels share the frame's maximum and
 * hardly any lie just below it; `largest-code` of an integer type; `unknown` for floating point without either.
 */
export type SaturationSource = 'given' | 'pile-up' | 'largest-code' | 'unknown'

export interface Saturation {
  adu: number | null
  source: SaturationSource
}

/** Pixels at the maximum that make a pile-up, and how many times more they must be than those just below. */
const PILE_UP_PIXELS = 16
const PILE_UP_FACTOR = 4
/** Median deviations between the median and a pile-up. */
const PILE_UP_DEVIATIONS = 15

/**
 * The saturation level of a frame.
 *
 * @param statistics  of every channel, in sample units
 * @param givenAdu  the caller's level; it is taken as it is
 * @derived common practice, no source: the thresholds of the pile-up are ours
 */
export function saturationOf(
  image: FitsImage,
  statistics: readonly SampleStatistics[],
  givenAdu: number | undefined,
): Saturation {
  if (givenAdu !== undefined) return { adu: givenAdu, source: 'given' }
  const largest = largestSample(image.bitsPerSample)
  const piledUp = pileUpSample(statistics)
  if (piledUp !== null && piledUp !== largest) return { adu: physicalAdu(image.scale, piledUp), source: 'pile-up' }
  if (largest === null) return { adu: null, source: 'unknown' }
  return { adu: physicalAdu(image.scale, largest), source: 'largest-code' }
}

/** The level as a sample to compare with: half a step lower, so that rounding of the scale does not matter. */
export function saturationSample(image: FitsImage, saturation: Saturation): number {
  if (saturation.adu === null) return Infinity
  const sample = sampleOf(image.scale, saturation.adu)
  return image.bitsPerSample > 0 ? sample - 0.5 : sample
}

function pileUpSample(statistics: readonly SampleStatistics[]): number | null {
  const maximum = Math.max(...statistics.map((channel) => channel.maximum))
  const channel = statistics.find((candidate) => candidate.maximum === maximum)
  // Without spread around the median nothing tells a clipped tail from the ordinary one.
  if (!channel || channel.medianDeviation === 0) return null
  const isFarOut = maximum - channel.median > PILE_UP_DEVIATIONS * channel.medianDeviation
  const isPile = channel.atMaximumCount >= Math.max(PILE_UP_PIXELS, PILE_UP_FACTOR * channel.nearMaximumCount)
  return isFarOut && isPile ? maximum : null
}
