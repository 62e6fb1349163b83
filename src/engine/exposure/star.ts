// A star measured in an aperture, its background estimated from pixels around it: the CCD equation, for one sub and for a
// stack of them.

import {
  calibrationRepeats,
  masterDarkVariance,
  masterFlatRelativeVariance,
  type Calibration,
} from './calibration-noise.ts'
import { efficiency, type Combine } from './estimators.ts'
import {
  noiseBudget,
  scaledTerms,
  subNoiseTerms,
  type NoiseBudget,
  type NoiseTerms,
  type PixelRates,
  type Readout,
} from './noise.ts'

export interface StarInput {
  /** All of the star's electrons, per second. */
  starElectronsPerSecond: number
  /** Share of them that falls into the aperture, 0 to 1. */
  capturedFraction: number
  /** Area of the aperture, pixels. */
  aperturePixels: number
  /** Pixels the background is estimated from; undefined for so many that they add nothing. */
  backgroundPixels: number | undefined
  /** Sum of the squares of the star's share per pixel of the aperture, which weighs flat-field errors; 0 to 1. */
  squaredShares: number
  /** Rates under the star. An extended target there counts as background. */
  rates: PixelRates
  readout: Readout
  subSeconds: number
  calibration: Calibration
}

/**
 * Signal and noise of the star in one uncalibrated sub.
 *
 *     σ² = F t + n (1 + n/n_B) ((O + S + D) t + R² + K²/12)
 *
 * @returns signal: the captured electrons; the extended target's own photon noise counts as sky
 * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory)
 */
export function starSubBudget(input: StarInput): NoiseBudget {
  const signalElectrons = capturedElectrons(input)
  return noiseBudget(signalElectrons, starSubTerms(input))
}

/**
 * Signal and noise of the star in the sum of N subs.
 *
 * @param input.subCount  whole, ≥ 1
 * @returns electrons of the sum
 * @derived N copies of the sub's variance over the estimator's efficiency, and what calibration leaves in all of them
 */
export function starStackBudget(input: StarInput & { subCount: number; combine: Combine }): NoiseBudget {
  const { subCount, combine } = input
  const terms = scaledTerms(starSubTerms(input), subCount / efficiency({ combine, count: subCount }))
  terms.calibration = starCalibrationVariance(input) * calibrationRepeats(subCount, input.calibration, combine)
  return noiseBudget(subCount * capturedElectrons(input), terms)
}

/**
 * The signal-to-noise ratio of the star that no number of subs exceeds.
 *
 * @returns null when calibration leaves no noise
 * @derived limit of {@link starStackBudget} for N → ∞ at M fixed dither positions
 */
export function starCeilingSnr(input: StarInput): number | null {
  const variance = starCalibrationVariance(input)
  if (variance === 0) return null
  return (capturedElectrons(input) * Math.sqrt(input.calibration.ditherPositions ?? 1)) / Math.sqrt(variance)
}

function capturedElectrons({ starElectronsPerSecond, capturedFraction, subSeconds }: StarInput): number {
  return starElectronsPerSecond * capturedFraction * subSeconds
}

/** n (1 + n/n_B): the aperture's pixels, and the share of the background estimate's noise that each of them carries. */
function effectivePixels({ aperturePixels, backgroundPixels }: StarInput): number {
  return aperturePixels * (backgroundPixels === undefined ? 1 : 1 + aperturePixels / backgroundPixels)
}

function starSubTerms(input: StarInput): NoiseTerms {
  const pixel = scaledTerms(subNoiseTerms(input), effectivePixels(input))
  return { ...pixel, sky: pixel.sky + pixel.target, target: capturedElectrons(input) }
}

/**
 * Dark error of every pixel of the aperture and its background, and flat error on star and background together:
 * Σ(F fᵢ + b)² = F² Σfᵢ² + 2 F b Σfᵢ + n b², and n²/n_B b² from the pixels the background is estimated from.
 */
function starCalibrationVariance(input: StarInput): number {
  const { rates, subSeconds, starElectronsPerSecond, squaredShares } = input
  const background = (rates.targetElectronsPerPixelSecond + rates.skyElectronsPerPixelSecond) * subSeconds
  const star = starElectronsPerSecond * subSeconds
  const flattened =
    star ** 2 * squaredShares + 2 * capturedElectrons(input) * background + effectivePixels(input) * background ** 2
  return masterDarkVariance(input) * effectivePixels(input) + flattened * masterFlatRelativeVariance(input.calibration)
}
