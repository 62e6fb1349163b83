// The sky, the dark current and the transparency as they are now.

import {
  darkCurrentElectronsPerPixelSecond,
  medianOf,
  picked,
  sessionCourse,
  valueAt,
  type SessionCourse,
  type SessionSubs,
} from '../../engine/index.ts'
import { darkLawOf } from '../../setup/dark-law.ts'
import type { FilterSetup } from './filter-setup.ts'
import { judgedSubs, type JudgedSubs } from './judge.ts'
import type { Request } from './request.ts'
import { isSaid } from './sub-table.ts'

export interface Present {
  /** As the frame's median shows it; times the plane's share it is that of the plane. */
  skyElectronsPerSecond: number
  skyDeviation: number
  /** Subs that it was measured on. */
  measured: number
}

export interface State {
  course: SessionCourse
  /** In order of time. */
  subs: SessionSubs
  judged: JudgedSubs
  /** One for each filter. */
  present: Present[]
  transparency: number
  sensorCelsius: number | null
  darkElectronsPerSecond: number
  setPointCelsius: number | null
}

/** Subs whose median is the present sky, and whose median is the present transparency. */
const SKY_SUBS = 5
const FLUX_SUBS = 3

/** A filter whose own last sub is among so many goes by its own subs. */
const FRESH_SUBS = 12

/** Subs it takes to trust the sky they show: of fewer a single wild one could be the median. */
export const TRUSTED_SUBS = 3

/** Rejected subs running that speak for a pause, without a word of the stars, or else for a look at the telescope. */
export const REJECTED_RUNNING = 3

/** Whether the last subs running were rejected. */
export function areRejected({ isAccepted }: SessionSubs): boolean {
  const running = isAccepted.subarray(-REJECTED_RUNNING)
  return running.length === REJECTED_RUNNING && !running.includes(1)
}

/** State of the session after its last sub. */
export function stateOf(request: Request, setups: readonly FilterSetup[], subs: SessionSubs): State {
  const setPointCelsius = setPoint(request)
  const darkAt = darkElectrons(request, setups)
  const [first] = setups
  if (first === undefined) throw new Error('a session has a filter')
  const { readNoiseElectrons, quantizationElectrons2 } = first.mode.readout
  const course = sessionCourse({
    subs,
    darkElectronsPerSecond: darkAt,
    readVariance: readNoiseElectrons ** 2 + quantizationElectrons2,
    roundingVariance: (first.scene.camera.electronsPerAdu ?? 0) ** 2 / 12,
    setPointCelsius,
    fwhmIsRelative: isSaid(request.subs.columns.relativeFwhm),
  })
  const [lastCelsius = NaN] = lastOf(subs.sensorCelsius, 1)
  const fluxes = lastOf(subs.starFlux, FLUX_SUBS)
  return {
    course,
    subs,
    judged: judgedSubs({ setups, first, planned: setups.map(plannedSky), subs, course, plannedDark: darkAt(NaN) }),
    present: setups.map((setup, filter) => presentSky(setup, filter, subs, course)),
    transparency: fluxes.length === 0 ? 1 : medianOf(fluxes),
    sensorCelsius: Number.isNaN(lastCelsius) ? setPointCelsius : lastCelsius,
    darkElectronsPerSecond: darkAt(lastCelsius),
    setPointCelsius,
  }
}

/** The last few values of a column that were measured, the latest first. */
function lastOf(column: Float64Array, most: number): number[] {
  const found: number[] = []
  for (let at = column.length - 1; at >= 0 && found.length < most; at--) {
    const value = valueAt(column, at)
    if (!Number.isNaN(value)) found.push(value)
  }
  return found
}

/** Where the sensor should be: as the camera says, or as all darks do. */
function setPoint({ camera, darks = [] }: Request): number | null {
  if (camera.temperatureCelsius !== undefined) return camera.temperatureCelsius
  const temperatures = new Set(darks.map(({ celsius }) => celsius))
  return temperatures.size === 1 ? ([...temperatures][0] ?? null) : null
}

function darkElectrons({ camera }: Request, [first]: readonly FilterSetup[]): (celsius: number) => number {
  const planned = first?.scene.camera.darkElectronsPerPixelSecond ?? 0
  const law = darkLawOf(camera)
  if (law === null) return () => planned
  const known = new Map<number, number>()
  return (celsius) => {
    if (Number.isNaN(celsius)) return planned
    const step = Math.round(celsius * STEPS_PER_CELSIUS)
    const before = known.get(step)
    if (before !== undefined) return before
    const temperatureCelsius = step / STEPS_PER_CELSIUS
    const dark = darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius }).electronsPerPixelSecond
    known.set(step, dark)
    return dark
  }
}

/** Finer than a sensor’s thermometer; the dark current of a step is off by 0.3 % at most. */
const STEPS_PER_CELSIUS = 20

/** Sky that the plan expects on the frame's median. */
export function plannedSky({ scene, planeShare }: FilterSetup): number {
  return planeShare > 0 ? scene.plane.rates.skyElectronsPerPixelSecond / planeShare : 0
}

function presentSky(setup: FilterSetup, filter: number, subs: SessionSubs, { sky }: SessionCourse): Present {
  const own: number[] = []
  const others: number[] = []
  for (let at = subs.filter.length - 1; at >= 0 && own.length < SKY_SUBS; at--) {
    if (!sky.isMeasured(at) || sky.spike[at] === 1) continue
    if (others.length < SKY_SUBS) others.push(valueAt(sky.ratio, at))
    if (subs.filter[at] === filter) own.push(at)
  }
  const [last] = own
  if (last === undefined) return { skyElectronsPerSecond: plannedSky(setup), skyDeviation: 0, measured: 0 }
  const fresh = last >= subs.filter.length - FRESH_SUBS
  // Through a filter that was not used for a while the sky has changed as it has through the others.
  const change = fresh ? 1 : medianOf(others) / valueAt(sky.ratio, last)
  const level = medianOf(picked(sky.skyElectronsPerSecond, own)) * (Number.isFinite(change) ? change : 1)
  return {
    skyElectronsPerSecond: Math.max(0, level),
    skyDeviation: (1.25 * valueAt(sky.deviation, last)) / Math.sqrt(own.length),
    measured: own.length,
  }
}
