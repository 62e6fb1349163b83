// Where the variance of one pixel of one sub comes from: Poisson electrons of target, sky and dark current, and the
// Gaussian noise of one read. Variances of independent terms add (JCGM 100:2008, 5.1.2).

import { requireInRange } from '../errors.ts'

/** Mean rates on one pixel of the frame, electrons per second, each ≥ 0. */
export interface PixelRates {
  targetElectronsPerPixelSecond: number
  skyElectronsPerPixelSecond: number
  darkElectronsPerPixelSecond: number
}

/** What one read of one pixel of the frame adds. */
export interface Readout {
  /** RMS per read, ≥ 0. */
  readNoiseElectrons: number
  /** Variance of rounding to whole ADU, only where the read noise was stated without it; K²/12. */
  quantizationElectrons2: number
}

/** Variances by origin, electrons². */
export interface NoiseTerms {
  target: number
  sky: number
  dark: number
  read: number
  quantization: number
  calibration: number
}

/**
 * Variance of one pixel of one uncalibrated sub, by origin.
 *
 *     σ² = (O + S + D) t + R² + K²/12
 *
 * @param input.subSeconds  exposure of one sub, > 0
 * @returns electrons², calibration being 0
 * @throws {EngineError} `out-of-range`
 * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory)
 */
export function subNoiseTerms(input: { rates: PixelRates; readout: Readout; subSeconds: number }): NoiseTerms {
  const { rates, readout, subSeconds } = input
  requireInRange('subSeconds', subSeconds, Number.MIN_VALUE)
  return {
    target: rates.targetElectronsPerPixelSecond * subSeconds,
    sky: rates.skyElectronsPerPixelSecond * subSeconds,
    dark: rates.darkElectronsPerPixelSecond * subSeconds,
    read: readout.readNoiseElectrons ** 2,
    quantization: readout.quantizationElectrons2,
    calibration: 0,
  }
}

/**
 * Sum of the terms.
 *
 * @returns electrons²
 * @source JCGM 100:2008, 5.1.2: independent contributions add in variance
 */
export function totalVariance(terms: NoiseTerms): number {
  return terms.target + terms.sky + terms.dark + terms.read + terms.quantization + terms.calibration
}

/**
 * All terms multiplied by one factor.
 *
 * @returns electrons²
 * @derived variance of k independent copies is k times the variance
 */
export function scaledTerms(terms: NoiseTerms, factor: number): NoiseTerms {
  return eachTerm(terms, (variance) => variance * factor)
}

function eachTerm(terms: NoiseTerms, change: (variance: number) => number): NoiseTerms {
  return {
    target: change(terms.target),
    sky: change(terms.sky),
    dark: change(terms.dark),
    read: change(terms.read),
    quantization: change(terms.quantization),
    calibration: change(terms.calibration),
  }
}

export interface NoiseBudget {
  signalElectrons: number
  noiseElectrons: number
  snr: number
  /** Share of the variance by origin; the shares add up to 1, or are all 0 when there is no noise. */
  shares: NoiseTerms
}

/**
 * Signal, noise and the share of each term in the variance.
 *
 * @param signalElectrons  ≥ 0
 * @returns snr 0 where there is neither signal nor noise
 * @derived ratio of mean to standard deviation
 */
export function noiseBudget(signalElectrons: number, terms: NoiseTerms): NoiseBudget {
  const variance = totalVariance(terms)
  const noiseElectrons = Math.sqrt(variance)
  return {
    signalElectrons,
    noiseElectrons,
    snr: variance > 0 ? signalElectrons / noiseElectrons : 0,
    // Divided term by term: the reciprocal of the smallest variances overflows.
    shares: eachTerm(terms, (term) => (variance > 0 ? term / variance : 0)),
  }
}
