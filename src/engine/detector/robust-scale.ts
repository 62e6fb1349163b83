// Median absolute deviation as a measure of a normal distribution's spread.

import { requireInRange } from '../errors.ts'

/** Φ⁻¹(3/4): the quartile of the standard normal distribution. */
const QUARTILE = 0.6744897501960817

/**
 * Standard deviation that a median absolute deviation stands for, if the noise is normal.
 *
 *     σ = MAD/Φ⁻¹(3/4) = 1.482602 MAD
 *
 * @param medianAbsoluteDeviation  ≥ 0
 * @returns in the same unit
 * @throws {EngineError} `out-of-range`
 * @source Huber 1981, Robust Statistics, 5.1 (from memory)
 */
export function standardDeviationFromMad(medianAbsoluteDeviation: number): number {
  requireInRange('medianAbsoluteDeviation', medianAbsoluteDeviation, 0)
  return medianAbsoluteDeviation / QUARTILE
}

/**
 * Efficiency of that estimate for many normal values: variance of the standard deviation over its own.
 *
 *     8 φ(q)² q², q = Φ⁻¹(3/4)
 *
 * @returns 0.3675
 * @derived delta method on the quantiles ±q of |x|; Huber 1981, 5.1 gives 37 % (from memory)
 */
export function madEfficiency(): number {
  const density = Math.exp(-(QUARTILE ** 2) / 2) / Math.sqrt(2 * Math.PI)
  return 8 * density ** 2 * QUARTILE ** 2
}
