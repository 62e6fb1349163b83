// The account of one filter in the contract's terms.

import type { FilterAccount } from './account.ts'
import type { ReasonTally } from './tally.ts'
import { everySubOf, weightsOf } from './weights.ts'

/** Dropped subs that are named; more are only counted. */
const MOST_DROPPED_LINES = 1000

const MOST_REASONS = 20

/** @param words  the reasons by number */
export function encodeFilter(account: FilterAccount, words: readonly string[], everySub: boolean) {
  const { setup, tally, equal, weightedSnr, equalSnr, effectiveSeconds } = account
  const { scale } = setup
  const { exposureSeconds, rejectedSeconds, cloudSeconds, spellSeconds, clockSeconds } = tally
  return {
    filter: setup.name,
    per: setup.per,
    subCount: tally.lines.length,
    rejectedCount: tally.rejectedCount,
    exposureSeconds,
    rejectedSeconds: rejectedSeconds + cloudSeconds + spellSeconds,
    clockSeconds,
    rejectedFor: reasonsOf(tally.reasons, words),
    weighted: { snr: weightedSnr * scale, snrWithoutCalibration: account.weightedSnrWithoutCalibration * scale },
    equal: { snr: equalSnr * scale, snrWithoutCalibration: equal.independentSnr * scale },
    effectiveSeconds,
    effectiveShare: exposureSeconds === 0 ? 0 : effectiveSeconds / exposureSeconds,
    weights: weightsOf(account),
    ...(everySub && { subs: everySubOf(account) }),
    ...advised(account),
    heldBack: account.heldBack.map(({ snr, ...it }) => ({ ...it, snr: snr * scale })),
    reference: referenceOf(account),
  }
}

/** What to do about it: which subs to drop, how near the ceiling is, what is missing. */
function advised({ setup, drop, ceilingSnr, weightedSnr, equalSnr, atOwnRate, atReference }: FilterAccount) {
  const { scale, goal } = setup
  return {
    drop: {
      subCount: drop.lines.length,
      lines: drop.lines.slice(0, MOST_DROPPED_LINES),
      equalSnr: drop.equalSnr * scale,
      weightedSnr: drop.weightedSnr * scale,
    },
    ceilingSnr: ceilingSnr === null ? null : ceilingSnr * scale,
    shareOfCeiling: ceilingSnr === null ? null : equalSnr / ceilingSnr,
    goal: goal === undefined ? null : { ...goal, reached: weightedSnr * scale >= goal.snr, atOwnRate, atReference },
  }
}

function referenceOf({ setup }: FilterAccount) {
  const { reference, scene, per, model, referenceSnr, scale } = setup
  return {
    subSeconds: reference.subSeconds,
    targetElectronsPerPixelSecond: scene.plane.rates.targetElectronsPerPixelSecond,
    starElectronsPerSecond: per === 'star' ? model.signalElectronsPerSecond : null,
    skyElectronsPerPixelSecond: reference.skyElectronsPerPixelSecond,
    darkElectronsPerPixelSecond: reference.darkElectronsPerPixelSecond,
    snrPerSub: referenceSnr * scale,
  }
}

function reasonsOf(reasons: ReasonTally, words: readonly string[]) {
  return [...reasons]
    .sort(([, one], [, other]) => other.exposureSeconds - one.exposureSeconds)
    .slice(0, MOST_REASONS)
    .map(([index, tally]) => ({ reason: words[index] ?? null, ...tally }))
}
