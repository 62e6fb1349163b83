// What the subs of one filter are worth.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import {
  bestWeights,
  EqualStack,
  heldBackBy,
  HELD_BACK_FACTORS,
  independentSnr,
  stackOf,
  stackSnr,
  subsToDrop,
  subTerms,
  termsWithout,
  type AccountModel,
  type AccountSubs,
  type ColumnMemory,
  type HeldBackFactor,
  type SubTerms,
} from '../../engine/index.ts'
import type { Work } from '../../setup/work.ts'
import type { FilterSetup } from './filters.ts'
import { missingOf, type Missing } from './missing.ts'
import type { FilterTally } from './tally.ts'

export interface FilterAccount extends Stacked, Missing {
  setup: FilterSetup
  tally: FilterTally
  weights: Float64Array
  drop: Drop
  ceilingSnr: number | null
  /** Signal-to-noise ratio of the model, and effective time gained. */
  heldBack: { factor: HeldBackFactor; effectiveSeconds: number; snr: number }[]
}

interface Drop {
  lines: number[]
  equalSnr: number
  weightedSnr: number
}

type Stacked = ReturnType<typeof stackedOf>

/** The stacks of one filter; all that is reckoned again where an uncertain input is varied. */
export function stackedOf({ model, reference, referenceSnr }: FilterSetup, subs: AccountSubs, memory: ColumnMemory) {
  const terms = subTerms(subs, model, {}, memory)
  const weighted = stackOf(terms, model)
  const equal = EqualStack.of(terms, model)
  /** Information of a second of exposure under reference conditions. */
  const referenceRate = referenceSnr ** 2 / reference.subSeconds
  const weightedSnrWithoutCalibration = independentSnr(weighted, model)
  return {
    terms,
    weighted,
    equal,
    weightedSnr: stackSnr(weighted, model),
    weightedSnrWithoutCalibration,
    equalSnr: Math.sqrt(equal.information),
    referenceRate,
    effectiveSeconds: weightedSnrWithoutCalibration ** 2 / referenceRate,
  }
}

/**
 * The account of one filter.
 *
 * @param memory  for its columns
 */
export function* accountOf(
  setup: FilterSetup,
  subs: AccountSubs,
  tally: FilterTally,
  memory: ColumnMemory,
): Work<FilterAccount> {
  const { model, reference } = setup
  const stacked = stackedOf(setup, subs, memory)
  yield
  const weights = bestWeights(stacked.terms, stacked.weighted, model, memory)
  yield
  const indices = yield* subsToDrop(stacked.terms, model, memory)
  yield
  const drop = memory.within(() => dropOf(tally.lines, indices, stacked, { model, memory }))
  yield
  const gains = heldBackBy({ subs, stack: stacked.weighted, model, reference, time: tally, memory })
  yield
  return {
    setup,
    tally,
    weights,
    ...stacked,
    drop,
    ceilingSnr: stacked.equal.ceilingSnr,
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
  lines: Uint32Array,
  indices: readonly number[],
  { terms, equalSnr, weightedSnr }: { terms: SubTerms; equalSnr: number; weightedSnr: number },
  { model, memory }: { model: AccountModel; memory: ColumnMemory },
): Drop {
  if (indices.length === 0) return { lines: [], equalSnr, weightedSnr }
  const kept = termsWithout(terms, indices, memory)
  return {
    lines: indices.map((index) => lines[index]!),
    equalSnr: Math.sqrt(EqualStack.of(kept, model).information),
    weightedSnr: stackSnr(stackOf(kept, model), model),
  }
}
