// What is still missing to the goal: going on as before, and under reference conditions.

import {
  AccountSubs,
  efficiency,
  repeatsMissing,
  stackOf,
  subsMissing,
  subTerms,
  type AccountSub,
  type Stack,
} from '../../engine/index.ts'
import { clockPerKeptSub, survives } from '../../setup/exposure.ts'
import type { FilterSetup } from './filters.ts'
import type { FilterTally } from './tally.ts'

export interface MissingTime {
  /** Length of its subs; null for the lengths of the log. */
  subSeconds: number | null
  exposureSeconds: number
  clockSeconds: number
}

export interface Missing {
  atOwnRate: MissingTime | null
  atReference: MissingTime | null
}

export function missingOf(setup: FilterSetup, stack: Stack, tally: FilterTally): Missing {
  const { goal, scale, model, combine } = setup
  if (goal === undefined) return { atOwnRate: null, atReference: null }
  const efficiencyOf = (count: number) => efficiency({ combine, count })
  const asked = { stack, model, snr: goal.snr / scale, efficiencyOf }
  return {
    atOwnRate: atOwnRate(repeatsMissing(asked), tally),
    atReference: atReference(setup, lengthsToTry(setup, tally), (sub) =>
      subsMissing({ ...asked, sub: stackOf(subTerms(AccountSubs.of(sub), model), model) }),
    ),
  }
}

/**
 * Subs that differ a little tell even the error of a master apart, if only there are millions of them: what takes eleven
 * years is not within reach.
 */
const LONGEST_SECONDS = 100_000 * 3600

function atOwnRate(repeats: number | null, { exposureSeconds, clockSeconds }: FilterTally): MissingTime | null {
  if (repeats === null || clockSeconds * repeats > LONGEST_SECONDS) return null
  return { subSeconds: null, exposureSeconds: exposureSeconds * repeats, clockSeconds: clockSeconds * repeats }
}

/** Lengths of the log that are tried where the usual one does not get there. */
const MOST_LENGTHS = 4

/** The reference length, then the log's own, the most usual ones first, and its longest. */
function lengthsToTry({ reference }: FilterSetup, { lengths }: FilterTally): number[] {
  const usual = [...lengths].sort(([, one], [, other]) => other - one).map(([seconds]) => seconds)
  const longest = usual.reduce((most, seconds) => Math.max(most, seconds), 0)
  const all = [reference.subSeconds, ...usual.slice(0, MOST_LENGTHS), longest]
  return [...new Set(all)].filter((seconds) => seconds > 0)
}

function atReference(
  { reference, losses, masterOf }: FilterSetup,
  lengths: readonly number[],
  countOf: (sub: AccountSub) => number | null,
): MissingTime | null {
  for (const subSeconds of lengths) {
    // A length that interruptions leave nothing of is of use only where no other is left to say so.
    if (!survives(subSeconds, losses) && subSeconds !== reference.subSeconds) continue
    const count = countOf({ ...reference, subSeconds, master: masterOf(subSeconds) })
    if (count === null) continue
    const whole = Math.ceil(count)
    return {
      subSeconds,
      exposureSeconds: subSeconds * whole,
      clockSeconds: clockPerKeptSub(subSeconds, losses) * whole,
    }
  }
  return null
}
