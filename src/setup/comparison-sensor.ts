// A sensor through a night of changing temperature: one without a cooler follows the air, a cooled one holds its
// temperature as far as its cooler reaches.

import { resolveCamera, type CameraRequest, type CameraSetup } from './camera.ts'
import type { ChoiceSetup, NightRequest } from './comparison-request.ts'
import { Notes } from './notes.ts'
import { COMMON_PRACTICE, TYPICAL_CAMERAS } from './typical.ts'

export interface SensorNight {
  celsius: number[]
  /** Of one pixel of the frame. */
  darkElectronsPerPixelSecond: number[]
  /** Shot noise adds in variance, so the mean rate stands for the whole night. */
  meanDarkElectronsPerPixelSecond: number
  largestMismatchElectronsPerPixelSecond: number
}

/** How much warmer than the air a sensor without a cooler gets. Common practice, no source. */
const SENSOR_ABOVE_AIR_CELSIUS = 10

const GIVEN_IN_VAIN =
  'A camera without `cooler` follows the air of `night`: the `temperatureCelsius` given with it does not count.'

/** The sensor of a set-up through the night; what it assumes goes to the notes. */
export function sensorThroughNight(setup: ChoiceSetup, { ambientCelsius }: NightRequest, notes: Notes): SensorNight {
  const { temperatureCelsius } = camera(setup.camera)
  const reach = coolerReach(setup.camera)
  if (reach === null && setup.camera.temperatureCelsius !== undefined) notes.caution(GIVEN_IN_VAIN)
  const above =
    reach === null
      ? (setup.sensorAboveAirCelsius ??
        notes.assume('/sensorAboveAirCelsius', SENSOR_ABOVE_AIR_CELSIUS, `not given (${COMMON_PRACTICE})`))
      : 0
  const celsius = ambientCelsius.map((air) =>
    reach === null ? air + above : Math.max(temperatureCelsius ?? air, air - reach),
  )
  const dark = celsius.map((temperature) => darkAt(setup.camera, temperature))
  const mean = dark.reduce((sum, rate) => sum + rate, 0) / dark.length
  return {
    celsius,
    darkElectronsPerPixelSecond: dark,
    meanDarkElectronsPerPixelSecond: mean,
    largestMismatchElectronsPerPixelSecond: Math.max(...dark.map((rate) => Math.abs(rate - mean))),
  }
}

/** Whether the air sets the temperature of a sensor, whatever was given or is usual for its class. */
export function followsAir(camera: CameraRequest): boolean {
  return coolerReach(camera) === null
}

/** A set-up at the temperature of its sensor at the warmest of the night. */
export function atWarmest(setup: ChoiceSetup, { celsius }: SensorNight): ChoiceSetup {
  return { ...setup, camera: { ...setup.camera, temperatureCelsius: Math.max(...celsius) } }
}

/** How far below the air the cooler holds the sensor; null without a cooler. */
function coolerReach(camera: CameraRequest): number | null {
  if (camera.cooler !== undefined) return camera.cooler.reachCelsius
  return camera.like === undefined ? null : TYPICAL_CAMERAS[camera.like].coolerReachCelsius
}

function darkAt(request: CameraRequest, temperatureCelsius: number): number {
  return camera({ ...request, temperatureCelsius }).darkElectronsPerPixelSecond
}

/** The camera as every scene resolves it, whose notes say what it assumes. */
function camera(request: CameraRequest): CameraSetup {
  return resolveCamera(request, { photons: null, scale: null }, new Notes())
}
