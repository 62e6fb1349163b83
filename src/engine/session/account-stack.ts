// A stack of subs that are all different: other lengths, other skies, clouds, temperatures. What its best weights reach
// hangs on a few sums over its subs alone, so that stacks can be added, repeated and asked for what they are worth.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { flattened, type AccountModel } from './account-model.ts'
import { joinedMoments, momentsOf, repeatedMoments, type Moments } from './moments.ts'
import type { SubTerms } from './account-terms.ts'

/** The subs that take one master dark. */
export interface MasterMoments {
  /** Subs with any signal: so many pointings they can use. */
  litCount: number
  /** With V = v. */
  shared: Moments
  /** With the error of the master dark in V, as it is where each sub has a pointing of its own. */
  ownDark: Moments
  /** With that of the flat too. */
  own: Moments
}

export interface Stack {
  /** All subs, with signal or without. */
  count: number
  byMaster: readonly MasterMoments[]
}

/** Sums for one V, of values less those of the first sub: s, Σ a, Σ b, Σ a², Σ a b, Σ b², each over V. */
const SUMS = 6
/** For each master one set of them for `shared`, `ownDark` and `own`. */
const KINDS = 3

/**
 * The sums of a stack, before the way of combining takes its share.
 *
 * @returns all zero for no subs
 * @source Chan, Golub & LeVeque 1983, Am. Stat. 37, 242 (from memory), for shifted data
 */
export function stackOf({ signals, variances, backgrounds, masters }: SubTerms, model: AccountModel): Stack {
  const flat = masterFlatRelativeVariance(model.calibration)
  const { effectivePixels } = model
  const isNoisy = flat > 0 || model.masters.some((variance) => variance > 0)
  const count = signals.length
  const sums = new Float64Array(model.masters.length * KINDS * SUMS)
  const litCounts = new Float64Array(model.masters.length)
  const first = { signal: signals[0] ?? 0, background: backgrounds[0] ?? 0 }
  for (let index = 0; index < count; index++) {
    const signal = signals[index]!
    const variance = variances[index]!
    // Neither signal nor noise: nothing is there.
    if (variance === 0) continue
    const background = backgrounds[index]!
    const master = masters[index]!
    if (signal > 0) litCounts[master] = litCounts[master]! + 1
    const at = master * KINDS * SUMS
    const a = signal - first.signal
    const b = background - first.background
    add(sums, at, a, b, 1 / variance)
    if (!isNoisy) continue
    const withDark = variance + effectivePixels * model.masters[master]!
    add(sums, at + SUMS, a, b, 1 / withDark)
    if (flat > 0) add(sums, at + 2 * SUMS, a, b, 1 / (withDark + flat * flattened(signal, background, model)))
  }
  const momentsAt = (at: number): Moments => momentsOf(sums.subarray(at, at + SUMS), first)
  return {
    count,
    byMaster: model.masters.map((_, master) => {
      const at = master * KINDS * SUMS
      const shared = momentsAt(at)
      // Without errors of calibration they are one.
      const ownDark = isNoisy ? momentsAt(at + SUMS) : shared
      return { litCount: litCounts[master]!, shared, ownDark, own: flat > 0 ? momentsAt(at + 2 * SUMS) : ownDark }
    }),
  }
}

function add(sums: Float64Array, at: number, a: number, b: number, weight: number): void {
  sums[at] = sums[at]! + weight
  sums[at + 1] = sums[at + 1]! + weight * a
  sums[at + 2] = sums[at + 2]! + weight * b
  sums[at + 3] = sums[at + 3]! + weight * a * a
  sums[at + 4] = sums[at + 4]! + weight * a * b
  sums[at + 5] = sums[at + 5]! + weight * b * b
}

/**
 * A stack with every sub taken k times.
 *
 * @param times  k, ≥ 0; need not be whole
 * @returns the sums of the larger stack
 * @derived every sum is linear in the number of subs
 */
export function repeatedStack({ count, byMaster }: Stack, times: number): Stack {
  return {
    count: count * times,
    byMaster: byMaster.map(({ litCount, shared, ownDark, own }) => ({
      litCount: litCount * times,
      shared: repeatedMoments(shared, times),
      ownDark: repeatedMoments(ownDark, times),
      own: repeatedMoments(own, times),
    })),
  }
}

/**
 * Two stacks in one.
 *
 * @returns the sums of both
 * @source Chan, Golub & LeVeque 1983, Am. Stat. 37, 242 (from memory)
 */
export function joinedStack(one: Stack, other: Stack): Stack {
  return {
    count: one.count + other.count,
    byMaster: one.byMaster.map((its, index) => {
      const added = other.byMaster[index]!
      return {
        litCount: its.litCount + added.litCount,
        shared: joinedMoments(its.shared, added.shared),
        ownDark: joinedMoments(its.ownDark, added.ownDark),
        own: joinedMoments(its.own, added.own),
      }
    }),
  }
}
