// Student's t: how far an interval must be widened when the standard uncertainty was itself estimated from little data
// (JCGM 100:2008, annex G).

import { requireInRange } from '../errors.ts'
import { findRoot } from '../root.ts'

/** Two-sided tails in use, each with the factor that a normal distribution gives. */
export const CONFIDENCE_LEVELS = {
  'one-sigma': { tail: 0.31731050786291415, normalFactor: 1 },
  'ninety-nine-percent': { tail: 0.01, normalFactor: 2.5758293035489004 },
  'three-and-a-half-sigma': { tail: 4.652581580710801e-4, normalFactor: 3.5 },
} as const

export type ConfidenceLevel = keyof typeof CONFIDENCE_LEVELS

/**
 * Probability that |t| exceeds a value.
 *
 *     1 − A(t|ν), A by the finite sums in θ = atan(t/√ν)
 *
 * @param input.t  ≥ 0
 * @param input.degreesOfFreedom  ν, whole, ≥ 1
 * @returns 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Abramowitz & Stegun 1964, 26.7.3 and 26.7.4 (from memory)
 */
export function studentTwoSidedTail(input: { t: number; degreesOfFreedom: number }): number {
  const { t, degreesOfFreedom } = input
  requireInRange('t', t, 0)
  requireInRange('degreesOfFreedom', degreesOfFreedom, 1, 1e6)
  const theta = Math.atan(t / Math.sqrt(degreesOfFreedom))
  const isOdd = degreesOfFreedom % 2 === 1
  let term = isOdd ? Math.cos(theta) : 1
  let sum = 0
  for (let k = isOdd ? 1 : 0; k <= degreesOfFreedom - 2; k += 2) {
    sum += term
    term *= ((k + 1) / (k + 2)) * Math.cos(theta) ** 2
  }
  const inside = Math.sin(theta) * sum
  return isOdd ? 1 - (2 / Math.PI) * (theta + inside) : 1 - inside
}

/**
 * Factor by which a standard uncertainty is multiplied for an interval of a confidence level.
 *
 * @param input.degreesOfFreedom  behind the standard uncertainty, whole, ≥ 1; null when it is known beforehand
 * @returns the normal distribution's factor when known, else Student's, which is larger
 * @throws {EngineError} `out-of-range`
 * @source JCGM 100:2008, G.3
 */
export function coverageFactor(input: { level: ConfidenceLevel; degreesOfFreedom: number | null }): number {
  const { tail, normalFactor } = CONFIDENCE_LEVELS[input.level]
  const { degreesOfFreedom } = input
  if (degreesOfFreedom === null) return normalFactor
  return findRoot((t) => tail - studentTwoSidedTail({ t, degreesOfFreedom }), normalFactor / 2, 1e5)
}
