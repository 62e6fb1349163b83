// What is better than what: in time, and for the money.

/** What a choice leads to. */
export interface Outcome {
  /** Time to the goal; null where it is out of reach. */
  seconds: number | null
  /** Signal-to-noise ratio of a fixed night, which decides between two that don't reach the goal. */
  nightSnr: number
}

export interface PricedOutcome extends Outcome {
  price: number
}

/**
 * Order of two outcomes: what reaches the goal before what doesn't, less time before more, then the better night.
 *
 * @returns negative where `a` is better, positive where `b` is, 0 where neither
 * @derived lexicographic
 */
export function compareOutcomes(a: Outcome, b: Outcome): number {
  if (a.seconds !== null && b.seconds !== null && a.seconds !== b.seconds) return a.seconds - b.seconds
  if ((a.seconds === null) !== (b.seconds === null)) return a.seconds === null ? 1 : -1
  return b.nightSnr - a.nightSnr
}

/**
 * Order of two outcomes by speed per unit of money, that is, by time × price; ties go to the quicker.
 *
 * @returns as for {@link compareOutcomes}; where one or both don't reach the goal, that order, then the lower price
 * @derived 1/time bought per unit of money
 */
export function compareForMoney(a: PricedOutcome, b: PricedOutcome): number {
  if (a.seconds === null || b.seconds === null) return compareOutcomes(a, b) || a.price - b.price
  return a.price * a.seconds - b.price * b.seconds || compareOutcomes(a, b) || a.price - b.price
}

/**
 * Rank of each item: one more than the number of items that are better. Equals share a rank.
 *
 * @param compare  negative where the first is better
 * @returns whole, ≥ 1, in the order of the items
 * @derived standard competition ranking, which does not depend on the order of the items
 */
export function ranksOf<Item>(items: readonly Item[], compare: (a: Item, b: Item) => number): number[] {
  return items.map((item) => 1 + items.filter((other) => compare(other, item) < 0).length)
}

/**
 * Seconds saved per unit of money spent beyond a base.
 *
 * @returns null where it saves nothing or costs no more, or either doesn't reach the goal
 * @derived difference of times over difference of prices
 */
export function secondsSavedPerMoney(base: PricedOutcome, other: PricedOutcome): number | null {
  if (base.seconds === null || other.seconds === null) return null
  if (other.seconds >= base.seconds || other.price <= base.price) return null
  const ratio = (base.seconds - other.seconds) / (other.price - base.price)
  return Number.isFinite(ratio) ? ratio : null
}
