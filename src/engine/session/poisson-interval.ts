// How well a count tells the mean behind it: Garwood's exact interval of a Poisson mean.

import { requireInRange } from '../errors.ts'
import { findRoot } from '../root.ts'

/** Probability that each end of an interval leaves out: one standard deviation of a normal distribution, and 95 %. */
export const POISSON_TAILS = { 'one-sigma': 0.15865525393145707, 'ninety-five-percent': 0.025 } as const

export interface PoissonInterval {
  from: number
  to: number
}

/**
 * Central confidence interval of the mean of a Poisson distribution from one count.
 *
 *     P(X ≥ k; from) = tail,   P(X ≤ k; to) = tail
 *
 * @param input.count  k, whole, 0 to 10⁷
 * @returns from 0 where nothing was counted
 * @throws {EngineError} `out-of-range`
 * @source Garwood 1936, Biometrika 28, 437; Gehrels 1986, ApJ 303, 336, tables 1 and 2
 */
export function poissonInterval(input: { count: number; level: keyof typeof POISSON_TAILS }): PoissonInterval {
  const { count } = input
  requireInRange('count', count, 0, 1e7)
  const tail = POISSON_TAILS[input.level]
  if (count === 0) return { from: 0, to: -Math.log(tail) }
  const wide = count + 10 * Math.sqrt(count) + 10
  return {
    from: findRoot((mean) => probabilityFrom(count, mean) - tail, 1e-3 * count, count),
    to: findRoot((mean) => probabilityUpTo(count, mean) - tail, count, wide),
  }
}

/** P(X ≥ k) for a mean at or below k, where each further term is smaller than the last. */
function probabilityFrom(count: number, mean: number): number {
  let term = probabilityOf(count, mean)
  let sum = 0
  for (let k = count; term > sum * 1e-17; k++) {
    sum += term
    term *= mean / (k + 1)
  }
  return sum
}

/** P(X ≤ k) for a mean at or above k. */
function probabilityUpTo(count: number, mean: number): number {
  let term = probabilityOf(count, mean)
  let sum = 0
  for (let k = count; term > sum * 1e-17; k--) {
    sum += term
    term *= k / mean
  }
  return sum
}

function probabilityOf(count: number, mean: number): number {
  return Math.exp(count * Math.log(mean) - mean - logFactorial(count))
}

/** ln k!, k ≥ 1: by Stirling's series (DLMF 5.11.1), begun where four terms of it give 10⁻¹². */
function logFactorial(count: number): number {
  let product = 1
  let from = count
  while (from < 20) product *= ++from
  const squared = from * from
  const series = (1 / 12 - (1 / 360 - (1 / 1260 - 1 / 1680 / squared) / squared) / squared) / from
  return (from + 0.5) * Math.log(from) - from + 0.5 * Math.log(2 * Math.PI) + series - Math.log(product)
}
