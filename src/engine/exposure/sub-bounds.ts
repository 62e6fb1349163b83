// What bounds the length of a sub from below and from above, each as the length it sets.

import type { PixelRates, Readout } from './noise.ts'

export type BoundName = 'read-noise' | 'losses' | 'sky-background' | 'star-clipping' | 'tracking' | 'longest-sub'

export interface SubBound {
  name: BoundName
  kind: 'lower' | 'upper'
  seconds: number
  /** A hard bound is never overruled; the others are wishes that are weighed against losses. */
  hard: boolean
}

/** Share of the usable well that the background may fill: what is left holds the stars. Common practice, no source. */
export const BACKGROUND_SHARE_OF_WELL = 0.5

/** null instead of a quotient that isn't a number or overflows, its divisor being nothing or next to nothing. */
function finiteOrNull(quotient: number): number | null {
  return Number.isFinite(quotient) ? quotient : null
}

/**
 * The shortest sub in which the sky and dark current drown the read noise to within a tolerance.
 *
 *     t = R² / ((S + D) ((1 + q)² − 1))
 *
 * @param input.readNoiseTolerance  q > 0: the noise may be larger by this share than without read noise
 * @returns seconds; null when nothing, or next to nothing, is there to drown the read noise in
 * @derived √(1 + R²/((S + D) t)) = 1 + q solved for t
 */
export function swampSeconds(input: {
  rates: PixelRates
  readout: Readout
  readNoiseTolerance: number
}): number | null {
  const { rates, readout, readNoiseTolerance } = input
  const background = rates.skyElectronsPerPixelSecond + rates.darkElectronsPerPixelSecond
  const read = readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  return finiteOrNull(read / (background * ((1 + readNoiseTolerance) ** 2 - 1)))
}

/**
 * Sky electrons over read-noise variance.
 *
 *     S t / R²
 *
 * @returns ≥ 0; null without read noise
 * @derived ratio of the two variances
 */
export function swampFactor(input: { rates: PixelRates; readout: Readout; subSeconds: number }): number | null {
  const { rates, readout, subSeconds } = input
  const read = readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  return finiteOrNull((rates.skyElectronsPerPixelSecond * subSeconds) / read)
}

/**
 * By how much read noise raises the noise of the background above sky and dark current alone.
 *
 *     √(1 + R²/((S + D) t)) − 1
 *
 * @returns ≥ 0; null when there is neither sky nor dark current
 * @derived ratio of the two standard deviations, less one
 */
export function readNoiseExcess(input: { rates: PixelRates; readout: Readout; subSeconds: number }): number | null {
  const { rates, readout, subSeconds } = input
  const background = (rates.skyElectronsPerPixelSecond + rates.darkElectronsPerPixelSecond) * subSeconds
  return finiteOrNull(
    Math.sqrt(1 + (readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2) / background) - 1,
  )
}

/**
 * Time for a rate of electrons to fill a part of the well.
 *
 * @param electronsPerSecond  ≥ 0
 * @returns seconds; null when nothing, or next to nothing, arrives
 * @derived well / rate
 */
export function fillSeconds(wellElectrons: number, electronsPerSecond: number): number | null {
  return finiteOrNull(wellElectrons / electronsPerSecond)
}

/**
 * Read noise as so many seconds of dead time.
 *
 *     τ = R²/(O + S + D)
 *
 * @returns seconds, ≥ 0; 10¹² s (32,000 years) where no electron arrives to drown it
 * @derived a sub of length t carries t/(1 + τ/t) of the information of a noiseless one
 */
export function readNoiseSeconds({ rates, readout }: { rates: PixelRates; readout: Readout }): number {
  const all = rates.targetElectronsPerPixelSecond + rates.skyElectronsPerPixelSecond + rates.darkElectronsPerPixelSecond
  const read = readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  return read === 0 ? 0 : Math.min(read / all, 1e12)
}
