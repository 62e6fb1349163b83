// What each sub so far was worth.

import {
  informationOf,
  raisesPlainMean,
  type ConditionName,
  type SessionCourse,
  type MeasuredYield,
} from '../../engine/index.ts'
import type { FilterSetup } from './filter-setup.ts'
import type { Record } from './records.ts'

export interface JudgedSub {
  record: Record
  yield: MeasuredYield
  /** Against an undisturbed sub of its length. */
  informationShare: number
  /** Whether a plain mean gains by it. */
  raisesMean: boolean
  names: ReadonlySet<ConditionName>
}

interface JudgeQuestion {
  setups: readonly FilterSetup[]
  /** Stands for the filter of a sub that is none of the session's. */
  first: FilterSetup
  /** Sky that the plan expects on the frame's median, for each filter. */
  planned: readonly number[]
  records: readonly Record[]
  course: SessionCourse
  darkAt: (celsius: number | null) => number
}

/** Every sub with what it was worth. */
export function judgedSubs({ setups, first, planned, records, course, darkAt }: JudgeQuestion): JudgedSub[] {
  const lastSky = [...planned]
  const darkPlanned = darkAt(null)
  return records.map((record, at): JudgedSub => {
    const { filter, subSeconds, clipped } = record
    const setup = setups[filter] ?? first
    const sky = course.sky[at] ?? null
    const measured = sky?.skyElectronsPerSecond ?? lastSky[filter] ?? 0
    if (sky !== null && !sky.spike) lastSky[filter] = measured
    const transparency = measuredOr1(course.flux.values, at)
    const yielded = setup.yieldOf({
      subSeconds,
      transparency,
      skyElectronsPerSecond: measured * setup.planeShare,
      darkElectronsPerSecond: darkAt(record.sensorCelsius),
    })
    if (clipped) yielded.signalElectrons = 0
    const names = course.names[at] ?? NOTHING
    // Only of the last few, and of those that something came over, does anybody ask what they are worth.
    if (names.size === 0 && at < records.length - JUDGED_LAST) {
      return { record, yield: yielded, informationShare: 1, raisesMean: true, names }
    }
    const base = sky !== null && sky.ratio > 0 ? measured / sky.ratio : (planned[filter] ?? 0)
    const clearTransparency = Number.isNaN(course.flux.values[at] ?? NaN) ? 1 : course.flux.best
    const clear = setup.yieldOf({
      subSeconds,
      transparency: clearTransparency,
      skyElectronsPerSecond: base * setup.planeShare,
      darkElectronsPerSecond: darkPlanned,
    })
    const informationShare = clipped ? 0 : shareOf(yielded, clear, transparency / clearTransparency)
    return { record, yield: yielded, informationShare, raisesMean: raisesPlainMean(yielded, clear), names }
  })
}

const JUDGED_LAST = 3

function measuredOr1(column: readonly number[], at: number): number {
  const value = column[at] ?? NaN
  return Number.isNaN(value) ? 1 : value
}

const NOTHING: ReadonlySet<ConditionName> = new Set()

/** Ratio of information; without a target by light and noise alone. */
function shareOf(sub: MeasuredYield, clear: MeasuredYield, light: number): number {
  const whole = informationOf(clear)
  if (whole > 0) return informationOf(sub) / whole
  return sub.variance > 0 ? (light ** 2 * clear.variance) / sub.variance : 1
}
