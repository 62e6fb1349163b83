// What goes on at the last sub.

import type { ConditionName } from './condition-names.ts'
import type { SessionCourse } from './conditions.ts'

export interface Condition {
  name: ConditionName
  /** First and last sub that show it, by their place in the order of time. */
  from: number
  to: number
}

/** A run of subs outlasts a gap of one less than this. */
const GAP = 3

/**
 * What goes on up to the last sub, each with the sub that it began with; a gap of two subs does not end it. A light that
 * passed before is there too where only the last sub made it certain.
 *
 * @returns the names of the last sub; empty without subs
 * @derived runs backward from the last sub
 */
export function presentConditions({ names, sky }: SessionCourse): Condition[] {
  const to = names.length - 1
  const present: Condition[] = []
  for (const name of names[to] ?? []) present.push({ name, from: beginningOf(name, names), to })
  for (let at = sky.late.indexOf(1); at !== -1; at = sky.late.indexOf(1, at + 1)) {
    present.push({ name: 'passing-light', from: at, to: at })
  }
  return present
}

function beginningOf(name: ConditionName, names: readonly ReadonlySet<ConditionName>[]): number {
  let from = names.length - 1
  if (name === 'passing-light') return from
  for (let place = from; place >= Math.max(0, from - GAP); place--) if (names[place]?.has(name) === true) from = place
  return from
}
