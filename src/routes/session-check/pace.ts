// How fast the session goes, by the times of its subs: a question has no clock of its own.

import { medianOf, valueAt, type Losses, type SessionSubs } from '../../engine/index.ts'
import { clockPerKeptSub } from '../../setup/exposure.ts'

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
export function paceOf(subs: SessionSubs): Pace {
  const gap = usualGap(subs)
  const last = subs.isAccepted.subarray(-LAST_SUBS)
  const kept = last.reduce((sum, isAccepted) => sum + isAccepted, 0)
  if (gap === null || kept === 0) return plannedPace
  return (subSeconds) => ((subSeconds + gap) * last.length) / kept
}

/** The usual gap between a sub and the next, where there are enough of them; null else. */
export function usualGap({ startSeconds, subSeconds }: SessionSubs): number | null {
  const gaps: number[] = []
  let end = NaN
  for (let at = Math.max(0, startSeconds.length - LAST_SUBS); at < startSeconds.length; at++) {
    const start = valueAt(startSeconds, at)
    if (start >= end) gaps.push(start - end)
    end = start + valueAt(subSeconds, at)
  }
  const usual = medianOf(gaps)
  return gaps.length >= FEWEST_GAPS && usual <= LONGEST_GAP_SECONDS ? usual : null
}

/** End of whichever sub ends last. */
export function endOf({ startSeconds, subSeconds }: SessionSubs): number {
  let end = -Infinity
  for (let at = 0; at < startSeconds.length; at++) {
    end = Math.max(end, valueAt(startSeconds, at) + valueAt(subSeconds, at))
  }
  return end
}
