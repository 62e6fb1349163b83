// From time at the camera to nights: every night begins with focusing, every filter change costs time and another focusing.

import { requireInRange } from '../errors.ts'

export interface NightWork {
  /** Clock time of all runs together, losses included, ≥ 0. */
  workSeconds: number
  /** Runs that follow one another, one a filter; ≥ 1. */
  runCount: number
  /** Usable clock time of one night, > 0. */
  nightSeconds: number
  /** ≥ 0. */
  refocusSeconds: number
  /** ≥ 0. */
  filterChangeSeconds: number
}

export interface NightsNeeded {
  /** Whole, ≥ 1. */
  nights: number
  /** Filter changes and focusing over all nights. */
  deadSeconds: number
}

/**
 * Nights that an amount of work takes, each run finished before the next is begun.
 *
 * k runs laid over n nights make k + n − 1 stretches, each begun by focusing, with k − 1 filter changes among them:
 *
 *     n = ⌈(work + (k − 1)(change + focus))/(night − focus)⌉
 *
 * @returns whole nights ≥ 1 and the dead time in them; null where a night is no longer than its focusing
 * @throws {EngineError} `out-of-range`
 * @derived work + (k − 1) change + (k + n − 1) focus ≤ n night
 */
export function nightsNeeded(work: NightWork): NightsNeeded | null {
  const { workSeconds, runCount, nightSeconds, refocusSeconds, filterChangeSeconds } = work
  requireInRange('workSeconds', workSeconds, 0)
  requireInRange('runCount', runCount, 1)
  const usable = nightSeconds - refocusSeconds
  if (usable <= 0) return null
  const changes = runCount - 1
  const nights = Math.max(1, Math.ceil((workSeconds + changes * (filterChangeSeconds + refocusSeconds)) / usable))
  return { nights, deadSeconds: changes * filterChangeSeconds + (changes + nights) * refocusSeconds }
}

/**
 * Time for subs in one night in which every run has its turn.
 *
 *     night − k focus − (k − 1) change
 *
 * @returns seconds; 0 where focusing and changing take the whole night
 * @derived one focusing a run, one change between two
 */
export function nightSecondsForSubs(work: Omit<NightWork, 'workSeconds'>): number {
  const { runCount, nightSeconds, refocusSeconds, filterChangeSeconds } = work
  return Math.max(0, nightSeconds - runCount * refocusSeconds - (runCount - 1) * filterChangeSeconds)
}
