// From a plain request to dark current over temperature, the set-point and the dew point.

import {
  condensation,
  darkCurrentElectronsPerPixelSecond,
  darkCurrentTable,
  setPointAdvice,
  type Condensation,
  type DarkCurrentLaw,
  type DarkTable,
  type SetPoint,
} from '../../engine/index.ts'
import { resolveCamera, type CameraRequest, type CameraSetup } from '../../setup/camera.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { citeDarkLaw, coolerReachOf, darkLawOf } from '../../setup/dark-law.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveScene } from '../../setup/scene.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import { resolveNight, type Night } from './night.ts'
import type { Request } from './request.ts'
import { resolveTemperatures } from './temperatures.ts'

export interface Solution {
  law: DarkCurrentLaw
  table: DarkTable
  /** Null without a sky. */
  skyElectronsPerPixelSecond: number | null
  setPoint: SetPoint | null
  /** What the set-point would need; empty where there is one. */
  lacking: string[]
  dewPoint: (Condensation & { sensorCelsius: number; at: string | null }) | null
  darkShare: number
}

/** Dark current of a request, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const law = lawOf(request, notes)
  const { camera, skyElectronsPerPixelSecond } = surroundings(request, notes)
  const temperaturesCelsius = resolveTemperatures(request, notes)
  const subLengthsSeconds = resolveLengths(request, notes)
  const night = resolveNight(request.night, notes)
  const darkShare = request.darkShare ?? notes.assume('/darkShare', 0.3, `not given (${COMMON_PRACTICE})`)
  notes.settle()
  const table = darkCurrentTable({
    law,
    temperaturesCelsius,
    subLengthsSeconds,
    skyElectronsPerPixelSecond: skyElectronsPerPixelSecond ?? 0,
    readNoiseElectrons: Math.sqrt(readVariance(camera)),
  })
  citeDarkLaw(law, notes)
  const cooler = { reachCelsius: coolerReachOf(request.camera, notes) }
  const advice = adviseSetPoint({ request, law, night, skyElectronsPerPixelSecond, darkShare, ...cooler })
  const sensorCelsius = advice.setPoint?.celsius ?? request.camera.temperatureCelsius
  const dewPoint = dewPointOf(night, sensorCelsius, notes)
  cautionSetup(
    { camera: { cooled: camera.cooled, temperatureCelsius: dewPoint === null ? sensorCelsius : undefined } },
    notes,
  )
  return { law, table, skyElectronsPerPixelSecond, ...advice, dewPoint, darkShare }
}

function lawOf({ camera }: Request, notes: Notes): DarkCurrentLaw {
  const law = darkLawOf(camera)
  if (law !== null) return law
  const electronsPerPixelSecond = notes.missing('/camera/darkCurrent', 'give it as measured, or a class by `like`')
  return { reference: { electronsPerPixelSecond, atCelsius: NaN } }
}

/** Camera and sky. Read noise matters only to the shares, which are those of sky and dark current where it isn't known. */
function surroundings(
  request: Request,
  notes: Notes,
): { camera: CameraSetup; skyElectronsPerPixelSecond: number | null } {
  const { sky, optics, filter } = request
  const camera = withReadNoise(request.camera, sky !== undefined, notes)
  if (sky === undefined) {
    return { camera: resolveCamera(camera, { photons: null, scale: null }, notes), skyElectronsPerPixelSecond: null }
  }
  const scene = resolveScene({ camera, optics, filter, sky }, { scale: null, unclippedStarMag: undefined }, notes)
  if (scene.camera.modes.length > 1) {
    notes.assume('/camera/readModes', scene.camera.modes[0]?.label, 'the first read mode is the one held against')
  }
  return { camera: scene.camera, skyElectronsPerPixelSecond: scene.plane.rates.skyElectronsPerPixelSecond }
}

function withReadNoise(camera: CameraRequest, matters: boolean, notes: Notes): CameraRequest {
  const { readNoiseElectrons, readModes, like } = camera
  if (readNoiseElectrons !== undefined || readModes !== undefined || like !== undefined) return camera
  const none = { ...camera, readNoiseElectrons: 0, readNoiseIncludesQuantization: true }
  if (matters) notes.assume('/camera/readNoiseElectrons', 0, 'not given: the shares are those of sky and dark current')
  return none
}

function readVariance({ modes }: CameraSetup): number {
  const readout = modes[0]?.readout
  return readout === undefined ? 0 : readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
}

function resolveLengths({ subLengthsSeconds, plan }: Request, notes: Notes): number[] {
  if (subLengthsSeconds !== undefined) return subLengthsSeconds
  if (plan?.subLadderSeconds !== undefined) return plan.subLadderSeconds
  if (plan?.subSeconds !== undefined) return [plan.subSeconds]
  return notes.assume('/subLengthsSeconds', [60, 300], `not given (${COMMON_PRACTICE})`)
}

/** A sky of fewer electrons than this gives no light to hold dark current against. */
const LEAST_SKY = 1e-9

function adviseSetPoint(input: {
  request: Request
  law: DarkCurrentLaw
  night: Night | null
  reachCelsius: number | null
  skyElectronsPerPixelSecond: number | null
  darkShare: number
}): Pick<Solution, 'setPoint' | 'lacking'> {
  const { request, law, night, reachCelsius, skyElectronsPerPixelSecond: sky, darkShare } = input
  const lacking = [
    ...(reachCelsius === null ? ['the reach of a cooler'] : []),
    ...(night === null ? ['the temperature of the air'] : []),
    ...(sky === null || sky < LEAST_SKY ? ['a sky that sends light'] : []),
  ]
  if (night === null || reachCelsius === null || sky === null || sky < LEAST_SKY) return { setPoint: null, lacking }
  const setPoint = setPointAdvice({
    law,
    ambientCelsius: night.hours.map(({ celsius }) => celsius),
    coolerReachCelsius: reachCelsius,
    marginCelsius: night.marginCelsius,
    skyElectronsPerPixelSecond: sky,
    darkToSkyNoise: darkShare,
    libraryCelsius: request.darkLibraryCelsius ?? [],
  })
  return { setPoint, lacking }
}

function dewPointOf(night: Night | null, sensorCelsius: number | undefined, notes: Notes): Solution['dewPoint'] {
  if (night === null || sensorCelsius === undefined) return null
  const moist = night.hours.flatMap(({ celsius, relativeHumidityShare, at }) =>
    relativeHumidityShare === undefined ? [] : [{ air: { temperatureCelsius: celsius, relativeHumidityShare }, at }],
  )
  if (moist.length === 0) return null
  const found = condensation({ surfaceCelsius: sensorCelsius, air: moist.map(({ air }) => air) })
  notes.cite('Alduchov & Eskridge 1996, J. Appl. Meteor. 35, 601: dew point')
  return { ...found, sensorCelsius, at: moist[found.atIndex]?.at ?? null }
}

/** The headline numbers, with the advised temperature kept. */
export function quantities(request: Request, base: Solution): Quantities {
  const varied = solve(request, new Notes())
  const result: Quantities = {}
  for (const [index, row] of varied.table.rows.entries()) {
    result[`/rows/${index}/electronsPerPixelSecond`] = row.electronsPerPixelSecond
    if (varied.skyElectronsPerPixelSecond === null) continue
    result[`/rows/${index}/noiseShare`] = row.cells[0]?.noiseShare
  }
  if (base.setPoint === null || varied.setPoint === null) return result
  const { celsius: temperatureCelsius } = base.setPoint
  const { electronsPerPixelSecond } = darkCurrentElectronsPerPixelSecond({ ...varied.law, temperatureCelsius })
  return {
    ...result,
    '/setPoint/coldestReachable': varied.setPoint.coldestReachableCelsius,
    '/setPoint/warmestColdEnoughCelsius': varied.setPoint.warmestColdEnoughCelsius,
    '/setPoint/darkElectronsPerPixelSecond': electronsPerPixelSecond,
    '/dewPoint/dewPointCelsius': varied.dewPoint?.dewPointCelsius,
  }
}
