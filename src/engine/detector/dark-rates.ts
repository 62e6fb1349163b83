// From mean levels of darks to a rate per temperature: the slope of level over length, so that the camera's offset, which
// need not be known, drops out.

import { requireInRange } from '../errors.ts'
import { fitLine } from './linear-fit.ts'

/** Mean level of one dark, or of a stack of them, in electrons; the camera's offset may be in it. */
export interface DarkLevel {
  /** −150 to 100. Levels belong together where this is equal. */
  temperatureCelsius: number
  /** 0 to 1e6. */
  subSeconds: number
  meanElectrons: number
  /** Of the mean level, > 0; given for all levels or for none. */
  standardUncertainty?: number
}

export interface DarkRate {
  /** −150 to 100. */
  temperatureCelsius: number
  electronsPerPixelSecond: number
  /** > 0; given for all rates or for none. */
  standardUncertainty?: number
}

export interface DarkRates {
  rates: DarkRate[]
  /** Temperatures with darks of one length only, where offset and dark current cannot be told apart. */
  oneLengthCelsius: number[]
}

/**
 * Rate per temperature as the weighted slope of mean level over length.
 *
 * Weights are 1/u² where uncertainties are given, else equal; then the rates carry none.
 *
 * @returns rates in the order in which the temperatures first appear
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 29: the slope of the dark level over exposure time
 */
export function darkRatesFromLevels(levels: readonly DarkLevel[]): DarkRates {
  const groups = new Map<number, DarkLevel[]>()
  for (const level of levels) {
    requireInRange('subSeconds', level.subSeconds, 0, 1e6)
    requireInRange('meanElectrons', level.meanElectrons, -1e9, 1e9)
    const group = groups.get(level.temperatureCelsius)
    if (group === undefined) groups.set(level.temperatureCelsius, [level])
    else group.push(level)
  }
  const weighted = uncertaintiesGiven(levels)
  const result: DarkRates = { rates: [], oneLengthCelsius: [] }
  for (const [temperatureCelsius, group] of groups) {
    if (new Set(group.map(({ subSeconds }) => subSeconds)).size < 2) {
      result.oneLengthCelsius.push(temperatureCelsius)
      continue
    }
    const line = fitLine(
      group.map(({ subSeconds, meanElectrons, standardUncertainty = 1 }) => ({
        x: subSeconds,
        y: meanElectrons,
        weight: 1 / standardUncertainty ** 2,
      })),
    )
    result.rates.push({
      temperatureCelsius,
      electronsPerPixelSecond: line.slope,
      ...(weighted ? { standardUncertainty: Math.sqrt(line.slopeVariance) } : {}),
    })
  }
  return result
}

/**
 * Whether measurements carry standard uncertainties: all of them, or none.
 *
 * @returns true when all do
 * @throws {EngineError} `out-of-range` when some do and some do not, or one is out of 1e-12 to 1e9
 * @derived a weighted fit needs a weight for every point
 */
export function uncertaintiesGiven(measurements: readonly { standardUncertainty?: number }[]): boolean {
  const given = measurements.flatMap(({ standardUncertainty }) => standardUncertainty ?? [])
  for (const uncertainty of given) requireInRange('standardUncertainty', uncertainty, 1e-12, 1e9)
  if (given.length > 0) {
    requireInRange('number of standard uncertainties', given.length, measurements.length, measurements.length)
  }
  return given.length > 0
}
