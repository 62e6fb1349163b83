// What each sub so far was worth.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import {
  informationOf,
  raisesPlainMean,
  type MeasuredYield,
  type SessionCourse,
  type SessionSubs,
  YieldSum,
} from '../../engine/index.ts'
import type { FilterSetup } from './filter-setup.ts'

/** What a sub is worth against an undisturbed one of its length. */
export interface Worth {
  informationShare: number
  /** Whether a plain mean gains by it. */
  raisesMean: boolean
}

/** The accepted subs of one filter. */
export interface KeptSubs {
  held: YieldSum
  integrationSeconds: number
}

export interface JudgedSubs {
  /** For each filter. */
  kept: readonly KeptSubs[]
  /** What the last few are worth, and those that something came over; nobody asks of the others. */
  worth: ReadonlyMap<number, Worth>
}

interface JudgeQuestion {
  setups: readonly FilterSetup[]
  /** Stands for the filter of a sub that is none of the session's. */
  first: FilterSetup
  /** Sky that the plan expects on the frame's median, for each filter. */
  planned: readonly number[]
  subs: SessionSubs
  course: SessionCourse
  /** Dark current at the set-point. */
  plannedDark: number
}

/** Every sub with what it was worth. */
export function judgedSubs({ setups, first, planned, subs, course, plannedDark }: JudgeQuestion): JudgedSubs {
  const { sky, flux, names, darkElectronsPerSecond } = course
  const lastSky = [...planned]
  const count = names.length
  const kept = setups.map((): KeptSubs => ({ held: new YieldSum(), integrationSeconds: 0 }))
  const worth = new Map<number, Worth>()
  for (let at = 0; at < count; at++) {
    const filter = subs.filter[at]!
    const setup = setups[filter] ?? first
    const isMeasured = sky.isMeasured(at)
    const measured = isMeasured ? sky.skyElectronsPerSecond[at]! : (lastSky[filter] ?? 0)
    if (isMeasured && sky.spike[at] === 0) lastSky[filter] = measured
    const light = flux.values[at]!
    const subSeconds = subs.subSeconds[at]!
    const transparency = Number.isNaN(light) ? 1 : light
    const held = setup.yieldOf({
      subSeconds,
      transparency,
      skyElectronsPerSecond: measured * setup.planeShare,
      darkElectronsPerSecond: darkElectronsPerSecond[at]!,
    })
    if (subs.isClipped[at] === 1) held.signalElectrons = 0
    if (subs.isAccepted[at] === 1) keep(kept[filter], held, subSeconds)
    if (names[at]!.size === 0 && at < count - JUDGED_LAST) continue
    const base = isMeasured && sky.ratio[at]! > 0 ? measured / sky.ratio[at]! : (planned[filter] ?? 0)
    const clearTransparency = Number.isNaN(light) ? 1 : flux.best
    const clear = setup.yieldOf({
      subSeconds,
      transparency: clearTransparency,
      skyElectronsPerSecond: base * setup.planeShare,
      darkElectronsPerSecond: plannedDark,
    })
    const share = subs.isClipped[at] === 1 ? 0 : shareOf(held, clear, transparency / clearTransparency)
    worth.set(at, { informationShare: share, raisesMean: raisesPlainMean(held, clear) })
  }
  return { kept, worth }
}

/** A sub may be of none of the session's filters. */
function keep(kept: KeptSubs | undefined, held: MeasuredYield, subSeconds: number): void {
  if (kept === undefined) return
  kept.held.add(held)
  kept.integrationSeconds += subSeconds
}

const JUDGED_LAST = 3

/** Ratio of information; without a target by light and noise alone. */
function shareOf(sub: MeasuredYield, clear: MeasuredYield, light: number): number {
  const whole = informationOf(clear)
  if (whole > 0) return informationOf(sub) / whole
  return sub.variance > 0 ? (light ** 2 * clear.variance) / sub.variance : 1
}
