// What a log tells about interruptions: how often something began to spoil subs.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { InterruptionCost } from '../exposure/losses.ts'
import { poissonInterval, type PoissonInterval } from './poisson-interval.ts'

/** Subs that were watched: a column each. */
export interface WatchedSubs {
  subSeconds: Float64Array
  /** 1 where something spoiled it. */
  isSpoiled: Uint8Array
  /** Index of the sub right before it on its camera; −1 where there is none, as at the begin of a night. */
  before: Int32Array
}

export interface InterruptionRate {
  /** Interruptions that began; a run of spoiled subs is one of them. */
  count: number
  /** Exposure in which one could have begun. */
  watchedSeconds: number
  /** Per hour; null where nothing was watched. */
  perHour: number | null
  oneSigma: PoissonInterval | null
  ninetyFivePercent: PoissonInterval | null
  /** What to plan by; null where too little was watched. */
  expected: { perHour: number; standardUncertainty: number } | null
}

/** Below two hours of watching, a rate of one an hour and one of none look alike: common practice, no source. */
const LEAST_WATCHED_SECONDS = 7200

/**
 * Rate at which interruptions begin, with Garwood's interval, and the rate to plan by.
 *
 *     λ = k/T,   expected (k + ½)/T ± √(k + ½)/T,   T = Σ over subs that follow a good one: t where it is good, t/2 where it is spoiled
 *
 * A cloud that spoils twenty subs of a camera in a row began once. So only the time right after a good sub is watched for a beginning;
 * were interruptions single and independent, that would leave their rate as it is. When in the spoiled sub it began nobody
 * knows: half of the sub counts, which meets −ln(1 − p)/t to second order in p. A sub that was aborted at once ran, good,
 * for all of its recorded length.
 *
 * A quiet log does not show that nothing ever interrupts, so the next plan goes by the mean of what is likely after it.
 *
 * @param subs  in the order of time, of however many cameras
 * @returns rates per hour of exposure; null without any watched exposure
 * @source Garwood 1936, Biometrika 28, 437, for the interval of the count
 * @source Jeffreys 1946, Proc. R. Soc. Lond. A 186, 453, and Brown, Cai & DasGupta 2003, Statist. Sinica 13, 19 (both from
 *   memory) for his prior λ^(−1/2), which makes the rate Gamma(k + ½, T)
 * @derived p/(1 − p/2) = −ln(1 − p) + O(p³) for the half
 */
export function interruptionRate(
  { subSeconds, isSpoiled, before }: WatchedSubs,
  cost: InterruptionCost,
): InterruptionRate {
  const shareOfSpoiled = cost === 'aborted-at-once' ? 1 : 0.5
  let count = 0
  let watchedSeconds = 0
  for (let index = 0; index < subSeconds.length; index++) {
    const previous = before[index]!
    if (previous >= 0 && isSpoiled[previous] === 1) continue
    if (isSpoiled[index] === 1) count++
    watchedSeconds += isSpoiled[index] === 1 ? subSeconds[index]! * shareOfSpoiled : subSeconds[index]!
  }
  if (watchedSeconds === 0) {
    return { count, watchedSeconds, perHour: null, oneSigma: null, ninetyFivePercent: null, expected: null }
  }
  const perHour = (events: number) => (events * 3600) / watchedSeconds
  const scaled = ({ from, to }: PoissonInterval) => ({ from: perHour(from), to: perHour(to) })
  return {
    count,
    watchedSeconds,
    perHour: perHour(count),
    oneSigma: scaled(poissonInterval({ count, level: 'one-sigma' })),
    ninetyFivePercent: scaled(poissonInterval({ count, level: 'ninety-five-percent' })),
    expected:
      watchedSeconds < LEAST_WATCHED_SECONDS
        ? null
        : { perHour: perHour(count + 0.5), standardUncertainty: perHour(Math.sqrt(count + 0.5)) },
  }
}
