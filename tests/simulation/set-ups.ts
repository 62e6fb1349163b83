// Random set-ups, and how the service is asked about them.

import type { z } from 'zod'
import type { NoiseBudgetRequestSchema } from '../../src/contract/noise-budget.ts'
import type { Draws } from './draws.ts'
import type { Patch } from './extended.ts'
import type { Sensor } from './sensor.ts'

export type Request = z.input<typeof NoiseBudgetRequestSchema>

/** Evenly spread in the logarithm, as instruments and skies are. */
export function logBetween(draws: Draws, low: number, high: number): number {
  return low * (high / low) ** draws.uniform()
}

export function between(draws: Draws, low: number, high: number): number {
  return low + (high - low) * draws.uniform()
}

/** Whole, both ends included. */
export function wholeBetween(draws: Draws, low: number, high: number): number {
  return Math.floor(between(draws, low, high + 1))
}

/** What a test wants of a set-up; the rest is drawn. */
export type Chosen = Partial<Omit<Patch, 'sensor'>> & { sensor?: Partial<Sensor> }

/** A patch under some sky. Well and converter stay clear of its levels, and of `brightestElectrons` more. */
export function randomPatch(draws: Draws, chosen: Chosen = {}, brightestElectrons = 0): Patch {
  const subSeconds = chosen.subSeconds ?? logBetween(draws, 10, 600)
  const skyElectrons = logBetween(draws, 8, 3000)
  const series = {
    subSeconds,
    subCount: wholeBetween(draws, 4, 16),
    combine: 'mean' as const,
    calibration: {},
    skyElectronsPerPixelSecond: skyElectrons / subSeconds,
    targetElectronsPerPixelSecond: Math.max(1, skyElectrons * logBetween(draws, 0.02, 1)) / subSeconds,
    ...chosen,
  }
  const rate = series.skyElectronsPerPixelSecond + series.targetElectronsPerPixelSecond
  return { ...series, sensor: randomSensor(draws, { ...series, brightest: rate * subSeconds + brightestElectrons }) }
}

function randomSensor(draws: Draws, it: Chosen & { subSeconds: number; brightest: number }): Sensor {
  const readNoiseElectrons = it.sensor?.readNoiseElectrons ?? logBetween(draws, 0.8, 12)
  const electronsPerAdu = it.sensor?.electronsPerAdu ?? readNoiseElectrons / between(draws, 0.7, 4)
  const darkElectronsPerPixelSecond = logBetween(draws, 0.1, 30) / it.subSeconds
  const offsetAdu = wholeBetween(draws, 100, 1000)
  const fullWellElectrons =
    2 * Math.max(it.brightest, it.calibration?.flatElectrons ?? 0) + 200 * readNoiseElectrons + 1000
  return {
    readNoiseElectrons,
    readNoiseIncludesQuantization: true,
    electronsPerAdu,
    offsetAdu,
    bitDepth: Math.ceil(Math.log2(offsetAdu + fullWellElectrons / electronsPerAdu)),
    fullWellElectrons,
    darkElectronsPerPixelSecond,
    binning: 1,
    binningKind: 'software',
    ...it.sensor,
  }
}

/** The request that describes a patch. */
export function requestOf({ sensor, ...patch }: Patch): Request {
  const { electronsPerAdu, darkElectronsPerPixelSecond, ...camera } = sensor
  return {
    camera: {
      ...camera,
      ...(electronsPerAdu !== null && { electronsPerAdu }),
      darkCurrent: { electronsPerPixelSecond: darkElectronsPerPixelSecond, atCelsius: 10 },
      temperatureCelsius: 10,
    },
    sky: { electronsPerPixelSecond: patch.skyElectronsPerPixelSecond },
    target: { electronsPerPixelSecond: patch.targetElectronsPerPixelSecond },
    plan: {
      subSeconds: patch.subSeconds,
      subCount: patch.subCount,
      combine: patch.combine,
      calibration: patch.calibration,
    },
  }
}

/** A copy that lacks some of its fields. */
export function without<T extends object, Key extends keyof T & string>(object: T, ...left: Key[]): Omit<T, Key> {
  const kept = Object.entries(object).filter(([key]) => !(left as string[]).includes(key))
  return Object.fromEntries(kept) as Omit<T, Key>
}
