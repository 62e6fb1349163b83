// What is still to come, and when it ends at the present rate.

import type { Action } from './action.ts'
import type { Pace } from './pace.ts'
import type { FilterSolution } from './filter-solution.ts'

export interface Remaining {
  subCount: number
  integrationSeconds: number
  clockSeconds: number
  setBy: 'goal' | 'end'
}

export interface Held {
  filters: readonly FilterSolution[]
  next: number
  nowSeconds: number | null
  endSeconds: number | null
  subSeconds: number
  pace: Pace
}

/** After the end. */
export function nothingLeft({ why }: Action): Remaining {
  return { subCount: 0, integrationSeconds: 0, clockSeconds: 0, setBy: why === 'goals-reached' ? 'goal' : 'end' }
}

/** Subs and time to the goals or to the end, whichever comes first; null when nobody said. */
export function remainingOf({ filters, next, nowSeconds, endSeconds, subSeconds, pace }: Held): Remaining | null {
  const goal = toGoals(filters, pace)
  const losses = filters[next]?.setup.losses
  if (endSeconds === null || nowSeconds === null || losses === undefined) return goal
  const clockSeconds = Math.max(0, endSeconds - nowSeconds)
  if (goal !== null && goal.clockSeconds <= clockSeconds) return goal
  const subCount = Math.floor(clockSeconds / pace(subSeconds, losses))
  return { subCount, integrationSeconds: subCount * subSeconds, clockSeconds, setBy: 'end' }
}

/** All that is missing to the goals; null where there is no goal, or one is out of reach. */
function toGoals(filters: readonly FilterSolution[], pace: Pace): Remaining | null {
  const sum: Remaining = { subCount: 0, integrationSeconds: 0, clockSeconds: 0, setBy: 'goal' }
  for (const { setup, subsToGoal, length } of filters) {
    if (subsToGoal === null) return null
    const count = Math.ceil(subsToGoal - 1e-9)
    sum.subCount += count
    sum.integrationSeconds += count * length.subSeconds
    sum.clockSeconds += count === 0 ? 0 : count * pace(length.subSeconds, setup.losses)
  }
  return sum
}
