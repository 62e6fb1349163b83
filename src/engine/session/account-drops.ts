// Which subs a stack without weights is better off without.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { EqualStack } from './account-equal.ts'
import type { AccountModel } from './account-model.ts'
import type { SubTerms } from './account-terms.ts'

/** Rounds of single moves; two or three are what it takes. */
const MOST_ROUNDS = 8

/**
 * The subs to leave out so that an unweighted sum has a high signal-to-noise ratio.
 *
 *     max over sets of (Σ a)²/(Σ v + calibration)
 *
 * Where calibration adds nothing that is exact: A²/V is convex in (A, V), so over all mixtures of subs its maximum lies at a
 * corner, and the corners are the sets a_i/v_i > constant; the subs are laid out by a/v, and the best beginning of that row
 * is the best of all sets. What calibration leaves couples the subs. Then the search begins from that row and from all
 * subs, and moves single subs in and out as long as that gains: no sub can then be dropped or taken back with a gain, and
 * the set is never worse than all subs. On logs of up to nine subs it was within 1 % of the best of all sets.
 *
 * @returns indices of subs, the least useful first; work that pauses at each `yield`, since for many subs it takes long
 * @derived maximum of a convex function over a zonotope, then coordinate ascent
 */
export function* subsToDrop(terms: SubTerms, model: AccountModel): Generator<void, number[]> {
  const { signals, variances } = terms
  const worth = signals.map((signal, index) => (signal === 0 ? 0 : signal / variances[index]!))
  const row = new Uint32Array(worth.length).map((_, index) => index).sort((one, other) => worth[other]! - worth[one]!)
  yield
  const beginning = bestBeginning(terms, model, row)
  if (isFreeOfSharedNoise(model)) return [...row.subarray(beginning)].reverse()
  yield
  const all = yield* climbed(terms, model, row, row.length)
  const some = beginning === row.length ? all : yield* climbed(terms, model, row, beginning)
  const { isKept } = some.information > all.information ? some : all
  return [...row].reverse().filter((index) => isKept[index] === 0)
}

function isFreeOfSharedNoise({ masters, calibration }: AccountModel): boolean {
  return masters.every((variance) => variance === 0) && masterFlatRelativeVariance(calibration) === 0
}

function bestBeginning(terms: SubTerms, model: AccountModel, row: Uint32Array): number {
  const stack = new EqualStack(terms, model)
  let best = 0
  let kept = 0
  for (let position = 0; position < row.length; position++) {
    stack.move(row[position]!, 1)
    if (stack.information < best) continue
    best = stack.information
    kept = position + 1
  }
  return kept
}

function* climbed(
  terms: SubTerms,
  model: AccountModel,
  row: Uint32Array,
  kept: number,
): Generator<void, { isKept: Uint8Array; information: number }> {
  const stack = new EqualStack(terms, model)
  const isKept = new Uint8Array(row.length)
  for (const index of row.subarray(0, kept)) {
    stack.move(index, 1)
    isKept[index] = 1
  }
  let best = stack.information
  let moved = true
  for (let round = 0; round < MOST_ROUNDS && moved; round++) {
    moved = false
    yield
    for (let position = row.length - 1; position >= 0; position--) {
      const index = row[position]!
      const by = isKept[index] === 1 ? -1 : 1
      stack.move(index, by)
      // More than rounding: a sub that costs nothing stays.
      const least = by === 1 ? best * (1 - 1e-12) : best * (1 + 1e-12)
      if (stack.information >= least && stack.information > 0) {
        best = stack.information
        isKept[index] = by === 1 ? 1 : 0
        moved = true
      } else stack.move(index, by === 1 ? -1 : 1)
    }
  }
  return { isKept, information: stack.information }
}
