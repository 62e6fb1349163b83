// What an account measures, by which frames it is calibrated, and how its subs are combined. All in electrons, for one
// thing: a pixel of an extended target, or a star in its aperture.

import type { Calibration } from '../exposure/calibration-noise.ts'
import type { Readout } from '../exposure/noise.ts'

export interface AccountModel {
  /** All electrons of the measured thing per second under reference conditions, > 0. */
  signalElectronsPerSecond: number
  /** Electrons per pixel and second of an extended target beneath a star, which fades with it; 0 for a pixel. */
  underlyingElectronsPerPixelSecond: number
  /** Pixels whose noise counts, the background estimate's included; 1 for a pixel. */
  effectivePixels: number
  /** How the captured light is heaped up: Σ s²/(Σ s)² over its shares s per pixel, at least 1/pixels; 1 for a pixel. */
  concentration: number
  readout: Readout
  calibration: Calibration
  /** Variance that each master dark (or bias) leaves on a pixel of a sub, electrons². */
  masters: readonly number[]
  /** Information that the way of combining keeps, of a mean's: 1 for a mean, 2/π for the median of many subs. */
  efficiency: number
}

/**
 * Variance of the readout of one pixel.
 *
 * @returns R² + K²/12, electrons²
 * @derived independent terms add in variance
 */
export function readVariance({ readout }: Pick<AccountModel, 'readout'>): number {
  return readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
}

/**
 * What a relative error of the flat, squared, is multiplied by.
 *
 * @param signal  electrons of the thing that are captured
 * @param background  electrons on each pixel beside it that the flat divides
 * @returns Σ over pixels of (its light + background)², electrons²
 * @derived the square written out; a star keeps its shape where its width changes what is captured
 */
export function flattened(signal: number, background: number, model: AccountModel): number {
  const { concentration, effectivePixels } = model
  return signal * signal * concentration + 2 * signal * background + effectivePixels * background * background
}
