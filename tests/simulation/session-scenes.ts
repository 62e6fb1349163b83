// A night with everything in it, and a quiet one, for several cameras.

import type { Draws } from './draws.ts'
import type { Moment, NightCamera, NightScript } from './session-night.ts'

/** A smooth step from 0 to 1. */
export function ramp(seconds: number, from: number, to: number): number {
  const x = Math.min(1, Math.max(0, (seconds - from) / (to - from)))
  return x * x * (3 - 2 * x)
}

export const CMOS: NightCamera = {
  readNoiseElectrons: 1.6,
  electronsPerAdu: 0.25,
  offsetAdu: 500,
  bitDepth: 16,
  darkElectronsPerPixelSecond: 0.002,
  atCelsius: -10,
  doublingCelsius: 6.3,
}

export const CCD: NightCamera = {
  readNoiseElectrons: 9,
  electronsPerAdu: 0.6,
  offsetAdu: 1000,
  bitDepth: 16,
  darkElectronsPerPixelSecond: 0.01,
  atCelsius: -10,
  doublingCelsius: 6.2,
}

export interface Scene {
  camera: NightCamera
  skyElectronsPerPixelSecond: number
  targetElectronsPerPixelSecond: number
  /** Background under cloud, as a multiple of the clear one. */
  cloudFactor: number
}

export interface Events {
  cloud: { from: number; full: number; thin: number; to: number }
  moon: { from: number; to: number }
  cooling: { from: number; to: number }
  cars: number[]
}

/** When what happens, seconds from the start: never twice the same. */
export function eventsOf(draws: Draws): Events {
  const about = (seconds: number, spread: number) => seconds + spread * (2 * draws.uniform() - 1)
  const cloud = about(6000, 600)
  const full = cloud + about(900, 600)
  const thin = full + about(2100, 300)
  const moon = about(14500, 900)
  const cooling = about(11800, 300)
  return {
    cloud: { from: cloud, full, thin, to: thin + about(900, 600) },
    moon: { from: moon, to: moon + about(3600, 900) },
    cooling: { from: cooling, to: cooling + about(1500, 600) },
    cars: [2000, 4000, 11000, 20500, 22500].map((seconds) => about(seconds, 400)),
  }
}

/** Seven hours: cloud, a cooler that loses eight degrees, the Moon, five cars. */
export function eventfulNight(scene: Scene, { cloud, moon, cooling, cars }: Events): NightScript {
  const momentAt = (seconds: number): Moment => {
    const covered = ramp(seconds, cloud.from, cloud.full) * (1 - ramp(seconds, cloud.thin, cloud.to))
    const moonlit = 1 + 2 * ramp(seconds, moon.from, moon.to)
    return {
      skyElectronsPerPixelSecond: scene.skyElectronsPerPixelSecond * moonlit * (1 + (scene.cloudFactor - 1) * covered),
      transparency: 1 - 0.6 * covered,
      sensorCelsius: -10 + 8 * ramp(seconds, cooling.from, cooling.to),
      fwhm: 1,
    }
  }
  const electronsPerPixelSecond = scene.skyElectronsPerPixelSecond * 40
  const lights = cars.map((seconds) => ({ seconds, lasts: 8, electronsPerPixelSecond }))
  return { ...nightOf(scene), momentAt, lights }
}

/** Dew that creeps over the optics from the second hour on: stars lose light and widen, and nothing else moves. */
export function frostyNight(scene: Scene): NightScript {
  const momentAt = (seconds: number): Moment => {
    const frozen = ramp(seconds, 7200, 10800)
    return {
      skyElectronsPerPixelSecond: scene.skyElectronsPerPixelSecond,
      transparency: 1 - 0.5 * frozen,
      sensorCelsius: -10,
      fwhm: 1 + 0.5 * frozen,
    }
  }
  return { ...nightOf(scene), durationSeconds: 14400, momentAt, lights: [] }
}

export function quietNight(scene: Scene): NightScript {
  const momentAt = () => ({
    skyElectronsPerPixelSecond: scene.skyElectronsPerPixelSecond,
    transparency: 1,
    sensorCelsius: -10,
    fwhm: 1,
  })
  return { ...nightOf(scene), momentAt, lights: [] }
}

function nightOf({ camera, targetElectronsPerPixelSecond }: Scene) {
  return {
    camera,
    targetElectronsPerPixelSecond,
    starElectronsPerSecond: 20,
    stars: 5,
    pixels: 400,
    overheadSeconds: 6,
    durationSeconds: 25200,
  }
}
