// What was measured of the subs, as columns of numbers: a session holds many subs, and is gone through many times.

import type { SubRecord } from './sub-record.ts'

/** Values and when they were measured, in order of time. */
export interface Series {
  seconds: number[]
  values: number[]
}

/**
 * One quantity of the subs that it was measured in.
 *
 * @param subs  in order of time
 * @param valueOf  the quantity; null where it wasn't measured
 * @returns values, starts of their subs, and the places of those in the order of time
 * @derived picking
 */
export function measuredSeries(
  subs: readonly SubRecord[],
  valueOf: (sub: SubRecord) => number | null,
): Series & { places: number[] } {
  const [places, seconds, values]: [number[], number[], number[]] = [[], [], []]
  subs.forEach((sub, place) => {
    const value = valueOf(sub)
    if (value === null) return
    places.push(place)
    seconds.push(sub.startSeconds)
    values.push(value)
  })
  return { places, seconds, values }
}
