// What each sub so far was worth.

import {
  informationOf,
  raisesPlainMean,
  valueAt,
  type ConditionName,
  type SessionCourse,
  type MeasuredYield,
} from '../../engine/index.ts'
import type { FilterSetup } from './filter-setup.ts'
import type { Record } from './records.ts'

/** A sub, and what it holds. */
export interface JudgedSub extends MeasuredYield {
  record: Record
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
    const flux = valueAt(course.flux.values, at)
    const transparency = Number.isNaN(flux) ? 1 : flux
    const held = setup.yieldOf({
      subSeconds,
      transparency,
      skyElectronsPerSecond: measured * setup.planeShare,
      darkElectronsPerSecond: valueAt(course.darkElectronsPerSecond, at),
    })
    // Only of the last few, and of those that something came over, does anybody ask what they are worth.
    const judged: JudgedSub = {
      signalElectrons: clipped ? 0 : held.signalElectrons,
      variance: held.variance,
      record,
      informationShare: 1,
      raisesMean: true,
      names: course.names[at] ?? NOTHING,
    }
    if (judged.names.size === 0 && at < records.length - JUDGED_LAST) return judged
    const base = sky !== null && sky.ratio > 0 ? measured / sky.ratio : (planned[filter] ?? 0)
    const clearTransparency = Number.isNaN(flux) ? 1 : course.flux.best
    const clear = setup.yieldOf({
      subSeconds,
      transparency: clearTransparency,
      skyElectronsPerSecond: base * setup.planeShare,
      darkElectronsPerSecond: darkPlanned,
    })
    judged.informationShare = clipped ? 0 : shareOf(judged, clear, transparency / clearTransparency)
    judged.raisesMean = raisesPlainMean(judged, clear)
    return judged
  })
}

const JUDGED_LAST = 3

const NOTHING: ReadonlySet<ConditionName> = new Set()

/** Ratio of information; without a target by light and noise alone. */
function shareOf(sub: MeasuredYield, clear: MeasuredYield, light: number): number {
  const whole = informationOf(clear)
  if (whole > 0) return informationOf(sub) / whole
  return sub.variance > 0 ? (light ** 2 * clear.variance) / sub.variance : 1
}
