// Which subs a stack without weights is better off without.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { EqualStack } from './account-equal.ts'
import type { AccountModel } from './account-model.ts'
import { termsAt, type SubTerms } from './account-terms.ts'
import { ColumnMemory } from './column-memory.ts'
import { inOrder } from './in-order.ts'

/** Rounds of single moves. */
const MOST_ROUNDS = 8
/** A round that gains no more than this part is the last; the next would gain some thirty times less. */
const LEAST_GAIN = 1e-6

/**
 * The subs to leave out so that an unweighted sum has a high signal-to-noise ratio.
 *
 *     max over sets of (Σ a)²/(Σ v + calibration)
 *
 * Where calibration adds nothing that is exact: A²/V is convex in (A, V), so over all mixtures of subs its maximum lies at a
 * corner, and the corners are the sets a_i/v_i > constant; the subs are laid out by a/v, and the best beginning of that row
 * is the best of all sets. What calibration leaves couples the subs. Then the search begins from that row and from all
 * subs, and moves single subs in and out as long as that gains a millionth: then no sub is worth dropping or taking back, and
 * the set is never worse than all subs. On logs of up to nine subs it was within 1 % of the best of all sets.
 *
 * @param memory  for columns that are needed meanwhile
 * @returns indices of subs, the least useful first; work that pauses at each `yield`, since for many subs it takes long
 * @derived maximum of a convex function over a zonotope, then coordinate ascent
 */
export function* subsToDrop(
  terms: SubTerms,
  model: AccountModel,
  memory = new ColumnMemory(),
): Generator<void, number[]> {
  const before = memory.usedBytes
  try {
    return yield* dropped(terms, model, memory)
  } finally {
    memory.backTo(before)
  }
}

function* dropped(terms: SubTerms, model: AccountModel, memory: ColumnMemory): Generator<void, number[]> {
  const row = inOrder(worthOf(terms, memory), memory).reverse()
  // Laid out in that order: what is gone through again and again is to be read in a row.
  const laidOut = termsAt(terms, row, memory)
  yield
  const beginning = bestBeginning(laidOut, model)
  if (isFreeOfSharedNoise(model)) return Array.from(row.subarray(beginning)).reverse()
  yield
  const all = yield* climbed(laidOut, model, { kept: row.length, memory })
  const some = beginning === row.length ? all : yield* climbed(laidOut, model, { kept: beginning, memory })
  return leftOut(row, some.information > all.information ? some : all)
}

function leftOut(row: Uint32Array, { isKept }: Climb): number[] {
  const indices: number[] = []
  for (let place = row.length - 1; place >= 0; place--) if (isKept[place] === 0) indices.push(row[place]!)
  return indices
}

function worthOf({ signals, variances }: SubTerms, memory: ColumnMemory): Float64Array {
  const worth = memory.float64(signals.length)
  for (let index = 0; index < worth.length; index++) {
    const signal = signals[index]!
    if (signal > 0) worth[index] = signal / variances[index]!
  }
  return worth
}

function isFreeOfSharedNoise({ masters, calibration }: AccountModel): boolean {
  return masters.every((variance) => variance === 0) && masterFlatRelativeVariance(calibration) === 0
}

function bestBeginning(terms: SubTerms, model: AccountModel): number {
  const stack = new EqualStack(terms, model)
  let best = 0
  let kept = 0
  for (let place = 0; place < terms.signals.length; place++) {
    stack.move(place, 1)
    if (stack.information < best) continue
    best = stack.information
    kept = place + 1
  }
  return kept
}

interface Climb {
  stack: EqualStack
  isKept: Uint8Array
  information: number
}

function* climbed(
  terms: SubTerms,
  model: AccountModel,
  { kept, memory }: { kept: number; memory: ColumnMemory },
): Generator<void, Climb> {
  const stack = new EqualStack(terms, model)
  for (let place = 0; place < kept; place++) stack.move(place, 1)
  const isKept = memory.uint8(terms.signals.length).fill(1, 0, kept)
  const climb = { stack, isKept, information: stack.information }
  for (let round = 0; round < MOST_ROUNDS; round++) {
    yield
    const before = climb.information
    moveEach(climb)
    if (climb.information <= before * (1 + LEAST_GAIN)) break
  }
  return climb
}

/** Moves each sub that it is better to move, the least useful first. */
function moveEach(climb: Climb): void {
  const { stack, isKept } = climb
  for (let place = isKept.length - 1; place >= 0; place--) {
    const by = isKept[place] === 1 ? -1 : 1
    const information = stack.informationWith(place, by)
    // More than rounding: a sub that costs nothing stays.
    const least = climb.information * (by === 1 ? 1 - 1e-12 : 1 + 1e-12)
    if (information >= least && information > 0) {
      stack.move(place, by)
      climb.information = information
      isKept[place] = by === 1 ? 1 : 0
    }
  }
}
