// How fast the session goes, by the times of its subs: a question has no clock of its own.

import { medianOf, type Losses } from '../../engine/index.ts'
import { clockPerKeptSub } from '../../setup/exposure.ts'
import type { Record } from './records.ts'

/** Clock time of one kept sub of a length. */
export type Pace = (subSeconds: number, losses: Losses) => number

/** The pace that the plan has. */
export const plannedPace: Pace = clockPerKeptSub

/** The last so many subs tell the pace. */
const LAST_SUBS = 40

/** A gap longer than this is a break. */
const LONGEST_GAP_SECONDS = 600

const FEWEST_GAPS = 3

/** As the last subs went: their usual gap, and the share of them that was kept. Before there are any, as the plan says. */
export function paceOf(subs: readonly Record[]): Pace {
  const gap = usualGap(subs)
  const last = subs.slice(-LAST_SUBS)
  const kept = last.filter(({ accepted }) => accepted).length
  if (gap === null || kept === 0) return plannedPace
  return (subSeconds) => ((subSeconds + gap) * last.length) / kept
}

/** The usual gap between a sub and the next, where there are enough of them; null else. */
export function usualGap(subs: readonly Record[]): number | null {
  const gaps: number[] = []
  let end = NaN
  for (const { startSeconds, subSeconds } of subs.slice(-LAST_SUBS)) {
    if (startSeconds >= end) gaps.push(startSeconds - end)
    end = startSeconds + subSeconds
  }
  const usual = medianOf(gaps)
  return gaps.length >= FEWEST_GAPS && usual <= LONGEST_GAP_SECONDS ? usual : null
}

/** End of whichever sub ends last. */
export function endOf(subs: readonly Record[]): number {
  return subs.reduce((end, { startSeconds, subSeconds }) => Math.max(end, startSeconds + subSeconds), -Infinity)
}
