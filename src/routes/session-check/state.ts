// The sky, the dark current and the transparency as they are now.

import {
  darkCurrentElectronsPerPixelSecond,
  medianOf,
  sessionCourse,
  type SessionCourse,
  type SkyOfSub,
} from '../../engine/index.ts'
import { darkLawOf } from '../../setup/dark-law.ts'
import type { FilterSetup } from './filter-setup.ts'
import { judgedSubs, type JudgedSub } from './judge.ts'
import type { Record } from './records.ts'
import type { Request } from './request.ts'

export interface Present {
  /** As the frame's median shows it; times the plane's share it is that of the plane. */
  skyElectronsPerSecond: number
  skyDeviation: number
  /** Subs that it was measured on. */
  measured: number
}

export interface State {
  course: SessionCourse
  subs: JudgedSub[]
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

/** State of the session after its last sub. */
export function stateOf(request: Request, setups: readonly FilterSetup[], records: readonly Record[]): State {
  const setPointCelsius = setPoint(request)
  const darkAt = darkElectrons(request, setups)
  const [first] = setups
  if (first === undefined) throw new Error('a session has a filter')
  const { readNoiseElectrons, quantizationElectrons2 } = first.mode.readout
  const course = sessionCourse({
    subs: records,
    darkElectronsPerSecond: darkAt,
    readVariance: readNoiseElectrons ** 2 + quantizationElectrons2,
    roundingVariance: (first.scene.camera.electronsPerAdu ?? 0) ** 2 / 12,
    setPointCelsius,
    fwhmIsRelative: request.subs.some(({ relativeFwhm }) => relativeFwhm !== undefined),
  })
  const lastCelsius = records.findLast(({ sensorCelsius }) => sensorCelsius !== null)?.sensorCelsius ?? null
  const fluxes = lastFluxes(records)
  return {
    course,
    subs: judgedSubs({ setups, first, planned: setups.map(plannedSky), records, course, darkAt }),
    present: setups.map((setup, filter) => presentSky(setup, filter, records, course)),
    transparency: fluxes.length === 0 ? 1 : medianOf(fluxes),
    sensorCelsius: lastCelsius ?? setPointCelsius,
    darkElectronsPerSecond: darkAt(lastCelsius),
    setPointCelsius,
  }
}

function lastFluxes(records: readonly Record[]): number[] {
  const fluxes: number[] = []
  for (let at = records.length - 1; at >= 0 && fluxes.length < FLUX_SUBS; at--) {
    const flux = records[at]?.starFlux ?? null
    if (flux !== null) fluxes.push(flux)
  }
  return fluxes
}

/** Where the sensor should be: as the camera says, or as all darks do. */
function setPoint({ camera, darks = [] }: Request): number | null {
  if (camera.temperatureCelsius !== undefined) return camera.temperatureCelsius
  const temperatures = new Set(darks.map(({ celsius }) => celsius))
  return temperatures.size === 1 ? ([...temperatures][0] ?? null) : null
}

function darkElectrons({ camera }: Request, [first]: readonly FilterSetup[]): (celsius: number | null) => number {
  const planned = first?.scene.camera.darkElectronsPerPixelSecond ?? 0
  const law = darkLawOf(camera)
  if (law === null) return () => planned
  const known = new Map<number, number>()
  return (celsius) => {
    if (celsius === null) return planned
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

function presentSky(setup: FilterSetup, filter: number, records: readonly Record[], { sky }: SessionCourse): Present {
  const own: SkyOfSub[] = []
  const others: number[] = []
  let lastAt = -1
  for (let at = records.length - 1; at >= 0 && own.length < SKY_SUBS; at--) {
    const one = sky[at] ?? null
    if (one === null || one.spike) continue
    if (others.length < SKY_SUBS) others.push(one.ratio)
    if (records[at]?.filter !== filter) continue
    if (own.length === 0) lastAt = at
    own.push(one)
  }
  const [last] = own
  if (last === undefined) return { skyElectronsPerSecond: plannedSky(setup), skyDeviation: 0, measured: 0 }
  const fresh = lastAt >= records.length - FRESH_SUBS
  // Through a filter that was not used for a while the sky has changed as it has through the others.
  const change = fresh ? 1 : medianOf(others) / last.ratio
  const level = medianOf(own.map((one) => one.skyElectronsPerSecond)) * (Number.isFinite(change) ? change : 1)
  return {
    skyElectronsPerSecond: Math.max(0, level),
    skyDeviation: (1.25 * last.deviation) / Math.sqrt(own.length),
    measured: own.length,
  }
}
