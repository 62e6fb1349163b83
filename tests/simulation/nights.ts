// Nights on which something spoils the sub in hand now and then, played on the clock.

import type { Draws } from './draws.ts'

export interface Night {
  subSeconds: number
  overheadSeconds: number
  interruptionsPerHour: number
  /** Whether a spoiled sub is exposed and saved to the end, or stopped and begun anew. */
  interruptionCost: 'found-afterwards' | 'aborted-at-once'
}

/** Enough for a mean to half a percent where three tries are needed, and better where fewer are. */
const KEPT_SUBS = 200_000

/** Time on the clock for each good sub that is saved, over many nights. */
export function secondsPerKeptSub(night: Night, draws: Draws): number {
  let clock = 0
  for (let sub = 0; sub < KEPT_SUBS; sub++) clock += untilKept(night, draws)
  return clock / KEPT_SUBS
}

function untilKept(
  { subSeconds, overheadSeconds, interruptionsPerHour, interruptionCost }: Night,
  draws: Draws,
): number {
  let clock = 0
  for (;;) {
    const spoiledAfter = (-Math.log(1 - draws.uniform()) * 3600) / interruptionsPerHour
    if (spoiledAfter >= subSeconds) return clock + subSeconds + overheadSeconds
    clock += interruptionCost === 'aborted-at-once' ? spoiledAfter : subSeconds + overheadSeconds
  }
}
