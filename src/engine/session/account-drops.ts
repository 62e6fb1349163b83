// Which subs a stack without weights is better off without.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { SubYields } from './sub-yield.ts'

/**
 * The subs to leave out so that an unweighted sum has its highest signal-to-noise ratio.
 *
 *     max over sets of (Σ a)²/Σ v
 *
 * Exact: A²/V is convex in (A, V), so over all mixtures of subs its maximum lies at a corner, and the corners are the sets
 * a_i/v_i > constant. So the subs are laid out by a/v, and the best beginning of that row is the best of all sets.
 *
 * @returns indices of subs, the least useful first
 * @derived maximum of a convex function over a zonotope
 */
export function subsToDrop({ signals, variances, weights }: SubYields): number[] {
  const row = new Uint32Array(weights.length)
    .map((_, index) => index)
    .sort((one, other) => weights[other]! - weights[one]!)
  let signal = 0
  let variance = 0
  let best = 0
  let kept = 0
  for (let position = 0; position < row.length; position++) {
    const index = row[position]!
    signal += signals[index]!
    variance += variances[index]!
    const information = signal === 0 ? 0 : signal ** 2 / variance
    if (information >= best) {
      best = information
      kept = position + 1
    }
  }
  return [...row.subarray(kept)].reverse()
}
