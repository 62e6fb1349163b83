// Keep, lengthen, shorten, pause or finish.

import type { SessionSubs } from '../../engine/index.ts'
import type { FilterSolution } from './filter-solution.ts'
import type { JudgedSubs } from './judge.ts'
import { areRejected, REJECTED_RUNNING, type State } from './state.ts'

export interface Action {
  name: 'keep' | 'lengthen' | 'shorten' | 'pause' | 'finish'
  why:
    | 'goals-reached'
    | 'time-over'
    | 'time-over-after-pause'
    | 'last-sub'
    | 'too-little'
    | 'rejected'
    | 'too-bright'
    | 'length'
  subSeconds: number
  /** End of a pause, seconds; null without one, or without a clock. */
  tryAgainSeconds: number | null
}

/** Below this share of an undisturbed hour the next hour is not worth taking. Common practice, no source. */
export const PAUSE_SHARE = 0.05

/** A pause is a sub long, within these: so little is lost when it clears at once. Common practice, no source. */
const PAUSE_SECONDS = { shortest: 120, longest: 300 }

export interface ActionQuestion {
  filters: readonly FilterSolution[]
  next: number
  state: State
  nowSeconds: number | null
  endSeconds: number | null
  /** From the end of a sub to the start of the next. */
  gapSeconds: number
}

/** What to do next. */
export function actionOf({ filters, next, state, nowSeconds, endSeconds, gapSeconds }: ActionQuestion): Action {
  const { length } = filters[next] ?? {}
  const subSeconds = length?.subSeconds ?? 1
  const current = length?.currentSeconds ?? subSeconds
  const simple = (name: Action['name'], why: Action['why'], seconds = subSeconds): Action => ({
    name,
    why,
    subSeconds: seconds,
    tryAgainSeconds: null,
  })
  if (filters.every(({ progress }) => progress.reached)) return simple('finish', 'goals-reached')
  const left = nowSeconds === null || endSeconds === null ? Infinity : endSeconds - nowSeconds
  const fitting = fittingSeconds(filters[next], subSeconds, left - gapSeconds)
  const why = pauseReason(state, length?.reason === 'none-allowed')
  if (why !== null) {
    const pause = Math.min(PAUSE_SECONDS.longest, Math.max(PAUSE_SECONDS.shortest, current))
    const after = fittingSeconds(filters[next], subSeconds, left - Math.max(pause, gapSeconds))
    if (after === null) return simple('finish', fitting === null ? 'time-over' : 'time-over-after-pause')
    return { name: 'pause', why, subSeconds: after, tryAgainSeconds: nowSeconds === null ? null : nowSeconds + pause }
  }
  if (fitting === null) return simple('finish', 'time-over')
  const name = fitting > current ? 'lengthen' : fitting < current ? 'shorten' : 'keep'
  return simple(name, fitting === subSeconds ? 'length' : 'last-sub', fitting)
}

/** The advised length, or the longest shorter one of the ladder, that ends in time; null when none does. */
function fittingSeconds(filter: FilterSolution | undefined, subSeconds: number, left: number): number | null {
  if (subSeconds <= left) return subSeconds
  return filter?.setup.plan.subLadderSeconds?.findLast((seconds) => seconds <= Math.min(left, subSeconds)) ?? null
}

function pauseReason({ subs, judged }: State, noneAllowed: boolean): Action['why'] | null {
  if (noneAllowed) return 'too-bright'
  const lastTwo = lastPlaces(subs, 2)
  // A clipped background asks for shorter subs, not for a pause.
  const isPoor = (at: number) => shareAt(judged, at) < PAUSE_SHARE && subs.isClipped[at] === 0
  if (lastTwo.length === 2 && lastTwo.every(isPoor)) return 'too-little'
  const isBlind = (at: number) => Number.isNaN(subs.starFlux[at])
  return areRejected(subs) && lastPlaces(subs, REJECTED_RUNNING).every(isBlind) ? 'rejected' : null
}

/** What an hour now is worth against an undisturbed one: the better of the last two subs, so that one wild sub does not count. */
export function presentShare({ subs, judged }: State): number {
  const shares = lastPlaces(subs, 2).map((at) => shareAt(judged, at))
  return shares.length === 0 ? 1 : Math.max(...shares)
}

const shareAt = ({ worth }: JudgedSubs, at: number) => worth.get(at)?.informationShare ?? 1

/** Places of the last few subs, in order of time. */
function lastPlaces({ index: { length } }: SessionSubs, most: number): number[] {
  const count = Math.min(length, most)
  return Array.from({ length: count }, (_, place) => length - count + place)
}
