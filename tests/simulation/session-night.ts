// A night as a camera sees it: every frame is drawn electron by electron, and what a script would measure is measured on
// the pixels. It knows no formula for noise or information.

import { Draws } from './draws.ts'
import { PoissonCounts } from './poisson-counts.ts'

export interface NightCamera {
  readNoiseElectrons: number
  electronsPerAdu: number
  offsetAdu: number
  bitDepth: number
  darkElectronsPerPixelSecond: number
  atCelsius: number
  doublingCelsius: number
}

/** What the sky and the kit do at a moment; seconds from the start of the night. */
export interface Moment {
  skyElectronsPerPixelSecond: number
  transparency: number
  sensorCelsius: number
  fwhm: number
}

export interface NightScript {
  camera: NightCamera
  targetElectronsPerPixelSecond: number
  starElectronsPerSecond: number
  stars: number
  pixels: number
  overheadSeconds: number
  durationSeconds: number
  momentAt: (seconds: number) => Moment
  /** Lights that pass: start, duration and electrons per pixel and second while they last. */
  lights: readonly { seconds: number; lasts: number; electronsPerPixelSecond: number }[]
}

export interface Frame {
  startSeconds: number
  subSeconds: number
  backgroundAdu: number
  sensorCelsius: number
  relativeStarFlux: number
  relativeFwhm: number
  /** Scatter of the pixels, electrons, and what the target put on one: the frame's own information is their ratio squared. */
  scatterElectrons: number
  targetElectrons: number
}

/** Takes one frame of a night. */
export function takeFrame(night: NightScript, startSeconds: number, subSeconds: number, draws: Draws): Frame {
  const { camera, pixels } = night
  const steps = 8
  let sky = 0
  let target = 0
  let starLight = 0
  let celsius = 0
  let fwhm = 0
  let dark = 0
  for (let step = 0; step < steps; step++) {
    const moment = night.momentAt(startSeconds + ((step + 0.5) * subSeconds) / steps)
    const lasts = subSeconds / steps
    sky += moment.skyElectronsPerPixelSecond * lasts
    target += night.targetElectronsPerPixelSecond * moment.transparency * lasts
    starLight += night.starElectronsPerSecond * moment.transparency * lasts
    dark +=
      camera.darkElectronsPerPixelSecond *
      2 ** ((moment.sensorCelsius - camera.atCelsius) / camera.doublingCelsius) *
      lasts
    celsius += moment.sensorCelsius / steps
    fwhm += moment.fwhm / steps
  }
  for (const light of night.lights) {
    const overlap =
      Math.min(startSeconds + subSeconds, light.seconds + light.lasts) - Math.max(startSeconds, light.seconds)
    sky += Math.max(0, overlap) * light.electronsPerPixelSecond
  }
  const counts = new PoissonCounts(sky + dark)
  const top = 2 ** camera.bitDepth - 1
  const values = new Float64Array(pixels)
  let sum = 0
  let squares = 0
  const withTarget = new PoissonCounts(sky + dark + target)
  for (let i = 0; i < pixels; i++) {
    values[i] = read(counts.next(draws), camera, top, draws)
    const value = read(withTarget.next(draws), camera, top, draws) * camera.electronsPerAdu
    sum += value
    squares += value * value
  }
  values.sort()
  const mean = sum / pixels
  let light = 0
  const ofStar = new PoissonCounts(starLight)
  for (let star = 0; star < night.stars; star++) light += ofStar.next(draws)
  return {
    startSeconds,
    subSeconds,
    backgroundAdu: values[pixels >> 1] ?? NaN,
    sensorCelsius: celsius + 0.05 * draws.normal(),
    relativeStarFlux: light / (night.stars * night.starElectronsPerSecond * subSeconds),
    relativeFwhm: fwhm * (1 + 0.03 * draws.normal()),
    scatterElectrons: Math.sqrt((squares / pixels - mean * mean) * (pixels / (pixels - 1))),
    targetElectrons: target,
  }
}

function read(electrons: number, camera: NightCamera, top: number, draws: Draws): number {
  const adu = Math.round(
    electrons / camera.electronsPerAdu +
      (camera.readNoiseElectrons / camera.electronsPerAdu) * draws.normal() +
      camera.offsetAdu,
  )
  return Math.min(top, Math.max(0, adu))
}
