// What the subs of one filter are worth.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import {
  AccountSubs,
  heldBackBy,
  HELD_BACK_FACTORS,
  independentSnr,
  repeatsMissing,
  stackCeilingSnr,
  stackSnr,
  stackSums,
  subsMissing,
  subsToDrop,
  subYields,
  type AccountModel,
  type HeldBackFactor,
  type StackSums,
  type SubYields,
} from '../../engine/index.ts'
import { clockPerKeptSub } from '../../setup/exposure.ts'
import type { Work } from '../../setup/work.ts'
import type { FilterSetup } from './filters.ts'
import type { FilterTally } from './tally.ts'

export interface MissingTime {
  exposureSeconds: number
  clockSeconds: number
}

export interface FilterAccount extends ReturnType<typeof stackedOf> {
  setup: FilterSetup
  tally: FilterTally
  yields: SubYields
  drop: Drop
  ceilingSnr: number | null
  atOwnRate: MissingTime | null
  atReference: MissingTime | null
  /** Signal-to-noise ratio of the model, and effective time gained. */
  heldBack: { factor: HeldBackFactor; effectiveSeconds: number; snr: number }[]
}

interface Drop {
  lines: number[]
  equalSnr: number
  weightedSnr: number
}

/** The stacks of one filter; all that is reckoned again where an uncertain input is varied. */
export function stackedOf({ model, reference, referenceSnr }: FilterSetup, subs: AccountSubs) {
  const weighted = stackSums(subs, model, 'inverse-variance')
  const equal = stackSums(subs, model, 'equal')
  /** Information of a second of exposure under reference conditions. */
  const referenceRate = referenceSnr ** 2 / reference.subSeconds
  return {
    weighted,
    equal,
    weightedSnr: stackSnr(weighted, model),
    equalSnr: stackSnr(equal, model),
    referenceRate,
    effectiveSeconds: independentSnr(weighted) ** 2 / referenceRate,
  }
}

/** The account of one filter. */
export function* accountOf(setup: FilterSetup, subs: AccountSubs, tally: FilterTally): Work<FilterAccount> {
  const { model, reference } = setup
  const stacked = stackedOf(setup, subs)
  yield
  const yields = subYields(subs, model)
  yield
  const drop = dropOf(tally.lines, subs, yields, stacked, model)
  yield
  const gains = heldBackBy({ subs, model, reference, time: tally })
  yield
  return {
    setup,
    tally,
    yields,
    ...stacked,
    drop,
    ceilingSnr: stackCeilingSnr(stacked.weighted, model),
    ...missingOf(setup, stacked.weighted, tally),
    heldBack: HELD_BACK_FACTORS.map((factor) => ({
      factor,
      effectiveSeconds: gains[factor] / stacked.referenceRate,
      snr: Math.sqrt(stacked.weightedSnr ** 2 + gains[factor]),
    }))
      .filter(({ effectiveSeconds }) => effectiveSeconds > 0)
      .sort((one, other) => other.effectiveSeconds - one.effectiveSeconds),
  }
}

function dropOf(
  lines: readonly number[],
  subs: AccountSubs,
  yields: SubYields,
  { equalSnr, weightedSnr }: { equalSnr: number; weightedSnr: number },
  model: AccountModel,
): Drop {
  const indices = subsToDrop(yields)
  const none = { lines: [], equalSnr, weightedSnr }
  if (indices.length === 0) return none
  const kept = subs.without(new Set(indices))
  const equalAfter = stackSnr(stackSums(kept, model, 'equal'), model)
  // What calibration leaves may be shared otherwise by fewer subs, so that nothing is gained after all.
  if (equalAfter <= equalSnr) return none
  return {
    lines: indices.map((index) => lines[index]!),
    equalSnr: equalAfter,
    weightedSnr: stackSnr(stackSums(kept, model, 'inverse-variance'), model),
  }
}

function missingOf(
  { goal, scale, model, reference, losses }: FilterSetup,
  sums: StackSums,
  { exposureSeconds, clockSeconds }: FilterTally,
): Pick<FilterAccount, 'atOwnRate' | 'atReference'> {
  if (goal === undefined) return { atOwnRate: null, atReference: null }
  const snr = goal.snr / scale
  const repeats = repeatsMissing({ sums, model, snr })
  const one = stackSums(AccountSubs.of(reference), model, 'inverse-variance')
  const count = subsMissing({ sums, sub: one, model, snr })
  const times = (exposure: number, clock: number, count: number | null): MissingTime | null =>
    count === null ? null : { exposureSeconds: exposure * count, clockSeconds: clock * count }
  return {
    atOwnRate: times(exposureSeconds, clockSeconds, repeats),
    atReference: times(
      reference.subSeconds,
      clockPerKeptSub(reference.subSeconds, losses),
      count === null ? null : Math.ceil(count),
    ),
  }
}
