// The error that master calibration frames put into every sub alike. Subs that point the same way share it, so it adds
// as an amplitude over the stack; dithering makes it independent from position to position.

import { efficiency, type Combine } from './estimators.ts'
import type { PixelRates, Readout } from './noise.ts'

/** Frames behind each master. A master that isn't mentioned is taken as free of noise. */
export interface Calibration {
  /** Darks of the same length and temperature as the subs, averaged; ≥ 1. */
  darkFrames?: number | undefined
  /** Bias frames averaged; they reach the subs only where no darks are taken. ≥ 1. */
  biasFrames?: number | undefined
  /** Flats averaged; ≥ 1. Counts only together with flatElectrons. */
  flatFrames?: number | undefined
  /** Mean level of one flat, electrons per pixel, > 0. */
  flatElectrons?: number | undefined
  /** Independent pointings the subs are spread over evenly, ≥ 1; without dither 1. */
  ditherPositions?: number | undefined
}

/**
 * Variance of the additive error that the master dark (or, without darks, the master bias) leaves on a pixel of each sub.
 *
 *     (D t + R²)/n_dark   or   R²/n_bias
 *
 * @returns electrons², ≥ 0; 0 without darks and bias
 * @source EMVA 1288 Release 4.0 averages n independent frames alike; Howell 2006, Handbook of CCD Astronomy, 4.4 (from memory)
 */
export function masterDarkVariance(input: {
  rates: PixelRates
  readout: Readout
  subSeconds: number
  calibration: Calibration
}): number {
  const { rates, readout, subSeconds, calibration } = input
  const read = readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  if (calibration.darkFrames !== undefined) {
    return (rates.darkElectronsPerPixelSecond * subSeconds + read) / calibration.darkFrames
  }
  return calibration.biasFrames === undefined ? 0 : read / calibration.biasFrames
}

/**
 * Relative variance of the master flat.
 *
 *     1/(flat electrons · n_flat)
 *
 * @returns ≥ 0; 0 without flats
 * @derived Poisson noise of the electrons collected over all flats
 */
export function masterFlatRelativeVariance(calibration: Calibration): number {
  const { flatFrames, flatElectrons } = calibration
  return flatFrames === undefined || flatElectrons === undefined ? 0 : 1 / (flatFrames * flatElectrons)
}

/**
 * Variance that calibration leaves on one pixel of each sub: master dark, and master flat on all that it divides.
 *
 *     (D t + R²)/n_dark + ((O + S) t)²/(flat electrons · n_flat)
 *
 * @returns electrons², ≥ 0
 * @derived sum of two independent errors
 */
export function calibrationVariance(input: {
  rates: PixelRates
  readout: Readout
  subSeconds: number
  calibration: Calibration
}): number {
  const { rates, subSeconds, calibration } = input
  const flattened = (rates.targetElectronsPerPixelSecond + rates.skyElectronsPerPixelSecond) * subSeconds
  return masterDarkVariance(input) + flattened ** 2 * masterFlatRelativeVariance(calibration)
}

/**
 * How often one master error counts in the variance of a sum of subs.
 *
 *     N²/M, M = min(dither positions, N)
 *
 * With a pointing of its own for every sub the errors are independent noise, and an estimator other than the mean takes
 * them as it takes any noise.
 *
 * @param subCount  N ≥ 1
 * @returns N² where nothing is dithered, N (over the estimator's efficiency) where every sub has a pointing of its own
 * @derived N/M subs share an error (amplitude N/M), M such groups add in variance: M (N/M)²
 */
export function calibrationRepeats(subCount: number, calibration: Calibration, combine: Combine = 'mean'): number {
  const positions = calibration.ditherPositions ?? 1
  if (positions >= subCount && subCount > 1) return subCount / efficiency({ combine, count: subCount })
  return subCount ** 2 / Math.min(positions, subCount)
}
