// Which changes to buy together. Changes interact (a narrow filter makes a quiet camera worth more), so no sum of single
// gains tells; every affordable set is looked at.

import { requireInRange } from '../errors.ts'
import { compareOutcomes, type Outcome } from './ranking.ts'

export interface BundleQuestion {
  /** Price of each change, ≥ 0. */
  prices: readonly number[]
  /** ≥ 0. */
  budget: number
  /** True for two changes that cannot both be made. */
  exclusive: (one: number, other: number) => boolean
  /** What a set of changes leads to, their indices ascending; null where they cannot be made together. */
  outcomeOf: (members: readonly number[]) => Outcome | null
}

export interface Bundle {
  /** Indices of the changes, ascending. */
  members: number[]
  price: number
  outcome: Outcome
}

/** So many sets, 2¹², are looked at in the worst case. */
export const MOST_CHANGES = 12

/** Prices such as 0.1 and 0.2 add up to a budget of 0.3 only within the rounding of their sum. */
const ROUNDING = 1e-9

/**
 * The best set of changes within a budget; among equals the cheaper, then the smaller, then the one with earlier changes.
 *
 * @returns the empty set where nothing affordable is better than changing nothing
 * @throws {EngineError} `out-of-range` for more than {@link MOST_CHANGES} changes
 * @derived enumeration of every set that is affordable and free of exclusive pairs
 */
export function bestBundle(question: BundleQuestion): Bundle | null {
  const { prices, budget, exclusive, outcomeOf } = question
  requireInRange('prices.length', prices.length, 0, MOST_CHANGES)
  let best: Bundle | null = null
  const look = (members: number[], price: number, next: number): void => {
    const outcome = outcomeOf(members)
    if (outcome !== null && (best === null || compareBundles({ members, price, outcome }, best) < 0)) {
      best = { members, price, outcome }
    }
    for (const [change, own] of prices.entries()) {
      const total = price + own
      if (change < next || total > budget * (1 + ROUNDING)) continue
      if (members.some((member) => exclusive(member, change))) continue
      look([...members, change], total, change + 1)
    }
  }
  look([], 0, 0)
  return best
}

function compareBundles(a: Bundle, b: Bundle): number {
  return compareOutcomes(a.outcome, b.outcome) || a.price - b.price || a.members.length - b.members.length
}
