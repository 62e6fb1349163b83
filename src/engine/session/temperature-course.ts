// Whether the cooler holds the sensor where it should be.

import { blocksOf } from './level.ts'
import { BEND_GAIN, bendsOf, scatterOf, valueAt } from './robust.ts'
import { measuredSeries } from './series.ts'
import type { SessionSubs } from './session-subs.ts'

export type TemperatureState = 'held' | 'warm' | 'cold' | 'unknown'

/** Regulation and read-out of a cooler scatter by so much, as ever so many measurements. Common practice, no source. */
const PRIOR_CELSIUS = { deviation: 0.12, weight: 4 }

/** Less than this from the set-point is no failure. Common practice, no source. */
const MATTERS_CELSIUS = 0.8

/** More than this from the set-point is one, however much the sensor swings. Common practice, no source. */
const FAILS_CELSIUS = 2

/** A single sub so many times further off is enough. */
const AT_ONCE = 2.5

/**
 * State of the temperature in each sub.
 *
 * @param setPointCelsius  null when nobody said: then the coldest level of the session
 * @returns `warm` or `cold` when two subs running, or one by far, are off by more than 0.8 °C and five deviations (or 2 °C, if that is less)
 * @derived threshold on the scatter from sub to sub
 */
export function temperatureCourse(
  { startSeconds, sensorCelsius }: Pick<SessionSubs, 'startSeconds' | 'sensorCelsius'>,
  setPointCelsius: number | null,
): TemperatureState[] {
  const series = measuredSeries(startSeconds, sensorCelsius)
  const scatter = scatterOf(bendsOf(series.values), BEND_GAIN, PRIOR_CELSIUS)
  const threshold = Math.max(MATTERS_CELSIUS, Math.min(FAILS_CELSIUS, 5 * scatter))
  const setPoint = setPointCelsius ?? Math.min(...blocksOf(series).map(({ level }) => level))
  const state: TemperatureState[] = []
  let before = 0
  let isFirst = true
  for (let at = 0; at < sensorCelsius.length; at++) {
    const celsius = valueAt(sensorCelsius, at)
    if (Number.isNaN(celsius) || !Number.isFinite(setPoint)) {
      state.push('unknown')
      continue
    }
    const off = (celsius - setPoint) / threshold
    const lasting = Math.min(Math.abs(off), Math.abs(before)) > 1 && off * before > 0
    const first = isFirst && Math.abs(off) > 1
    before = off
    isFirst = false
    if (!lasting && !first && Math.abs(off) <= AT_ONCE) state.push('held')
    else state.push(off > 0 ? 'warm' : 'cold')
  }
  return state
}
