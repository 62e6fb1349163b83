// Light that changes between the two flats of a pair. It scales whatever pattern they share (light that falls to the
// corners, pixels that respond unlike), and what the two then differ by looks like noise.

import { requireInRange } from '../errors.ts'

export interface DriftedPair {
  /** Mean of the two above the dark level. */
  signalAdu: number
  /** By which the means of the two differ, 0 or more. */
  apartAdu: number
  /** Covariance of the two, less that of the darks. */
  sharedVarianceAdu2: number
}

/**
 * What the changed light adds to half the variance of the difference of two flats.
 *
 *     (s₁ − s₂)²/(2 s₁ s₂) · c,   c the covariance of the two, s₁ and s₂ their signals
 *
 * @returns ADU², 0 or more; 0 where chance has left no shared variance
 * @throws {EngineError} `out-of-range` when one of the two flats is no brighter than the dark
 * @derived frames a + n₁ and r a + n₂ with r = s₂/s₁: the difference has (r − 1)² times the variance of a, the covariance
 * is r times it
 */
export function driftVarianceAdu2({ signalAdu, apartAdu, sharedVarianceAdu2 }: DriftedPair): number {
  const product = signalAdu ** 2 - apartAdu ** 2 / 4
  requireInRange('signalAdu', signalAdu, Number.MIN_VALUE)
  requireInRange('product of both signals', product, Number.MIN_VALUE)
  return (Math.max(0, sharedVarianceAdu2) * apartAdu ** 2) / (2 * product)
}
