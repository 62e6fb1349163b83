// The sky behind one sub, and what is marked on it.

import type { Series } from './series.ts'

/** How well the dark current at another temperature is known. Common practice, no source. */
export const DARK_LAW_SHARE = 0.3

export interface SkyOfSub {
  /** Place of the sub in the order of time. */
  at: number
  /** Middle of the exposure. */
  seconds: number
  /** Electrons per second, dark current taken off. */
  skyElectronsPerSecond: number
  deviation: number
  /** Noise of one pixel of the background, as a rate. */
  pixelNoise: number
  /** Against the darkest level of its filter, or against its noise where that is more. */
  ratio: number
  /** What that may be off, as far as every sub shows it anew. */
  noise: number
  /** What it may be off by the law of the dark current. */
  darkDoubt: number
  /** Dark current on the scale of the ratio. */
  darkRatio: number
  dimmed: boolean
  lostShare: number
  /** A light passed: it stands out from its neighbours. */
  spike: boolean
  /** The same, and only the last sub of its filter made it certain. */
  late: boolean
  /** By what share the present level is above the darkest of the session, and below the brightest. */
  rise: number
  fall: number
}

/**
 * Ratios of skies and their times, as a series.
 *
 * @param skies  in order of time
 * @returns as many values
 * @derived picking
 */
export function ratiosOf(skies: readonly SkyOfSub[]): Series {
  return { seconds: skies.map(({ seconds }) => seconds), values: skies.map(({ ratio }) => ratio) }
}
