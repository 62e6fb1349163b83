// Where a gain comes from. Information per clock hour is signal² over noise variance times the share of the clock that is
// exposure; its logarithm falls apart into one part for each of them, and the parts add up.

import type { NoiseTerms } from '../exposure/noise.ts'

/** What decides how fast information is gathered. */
export interface GatheringRates {
  /** Target electrons per second, on any unit that both sides of a comparison share, > 0. */
  signalElectronsPerSecond: number
  /** Variance per second on the same unit, by origin. */
  noise: NoiseTerms
  /** Share of the clock that is exposure, > 0 to 1. */
  exposureShare: number
}

export const GAIN_PARTS = ['signal', 'sky', 'dark', 'read', 'quantization', 'calibration', 'dead-time'] as const

export type GainPart = (typeof GAIN_PARTS)[number]

/**
 * By how much each part raises the logarithm of the information per clock hour.
 *
 *     ln(I′/I) = ln(s′/s) + ln(e′/e) + Σ (n/s − n′/s′)/L,   L = logarithmic mean of Σ n/s and Σ n′/s′
 *
 * Noise counts against the signal that comes with it: a larger aperture gathers sky and target alike, which is signal.
 *
 * @returns a number for each part; they add up to ln(I′/I), negative parts being losses
 * @derived exact additive decomposition by the logarithmic mean, I = e s²/Σ n
 */
export function gainParts(before: GatheringRates, after: GatheringRates): Record<GainPart, number> {
  const old = relativeNoise(before)
  const now = relativeNoise(after)
  const mean = logarithmicMean(old.total, now.total)
  const drop = (part: keyof NoiseTerms) => (old.terms(part) - now.terms(part)) / mean
  return {
    signal: Math.log(after.signalElectronsPerSecond / before.signalElectronsPerSecond),
    sky: drop('sky'),
    dark: drop('dark'),
    read: drop('read'),
    quantization: drop('quantization'),
    calibration: drop('calibration'),
    'dead-time': Math.log(after.exposureShare / before.exposureShare),
  }
}

function relativeNoise({ signalElectronsPerSecond, noise }: GatheringRates) {
  const terms = (part: keyof NoiseTerms) => noise[part] / signalElectronsPerSecond
  const { target, sky, dark, read, quantization, calibration } = noise
  return { terms, total: (target + sky + dark + read + quantization + calibration) / signalElectronsPerSecond }
}

function logarithmicMean(a: number, b: number): number {
  const ratio = Math.log(a / b)
  // Near equality the quotient loses its digits, and the mean is the value itself.
  return Math.abs(ratio) < 1e-9 ? a : (a - b) / ratio
}
