// Dew point over liquid water, also below 0 °C, as meteorology uses it; frost forms at a slightly higher temperature.
// Magnus form with the constants of Alduchov & Eskridge 1996, J. Appl. Meteor. 35, 601, valid from −40 to +50 °C.

import { requireInRange } from '../errors.ts'

const SLOPE = 17.625
const OFFSET_CELSIUS = 243.04

export interface MoistAir {
  /** Air temperature, −40 to 50. */
  temperatureCelsius: number
  /** Relative humidity over liquid water as a fraction, 0.01 to 1. */
  relativeHumidityShare: number
}

/**
 * Temperature at which the water in the air starts to condense.
 *
 *     g = ln RH + A t/(B + t);  dew point = B g/(A − g);  A = 17.625, B = 243.04 °C
 *
 * @returns °C, at most the air temperature
 * @throws {EngineError} `out-of-range`
 * @source Alduchov & Eskridge 1996, J. Appl. Meteor. 35, 601, inverted as in Lawrence 2005, Bull. Amer. Meteor. Soc. 86, 225 (from memory)
 */
export function dewPointCelsius(air: MoistAir): number {
  const { temperatureCelsius, relativeHumidityShare } = air
  requireInRange('temperatureCelsius', temperatureCelsius, -40, 50)
  requireInRange('relativeHumidityShare', relativeHumidityShare, 0.01, 1)
  const g = Math.log(relativeHumidityShare) + (SLOPE * temperatureCelsius) / (OFFSET_CELSIUS + temperatureCelsius)
  return (OFFSET_CELSIUS * g) / (SLOPE - g)
}

export interface Condensation {
  /** Highest dew point among the states of the air given. */
  dewPointCelsius: number
  /** Index of the state it belongs to. */
  atIndex: number
  /** How far the surface stands below that dew point; negative when it stays above. */
  belowDewPointCelsius: number
  /** What unsealed, undried air would leave on the surface; ice when the surface is at or below 0 °C. */
  deposit: 'none' | 'dew' | 'ice'
}

/**
 * Whether a surface cooled to a temperature stands below the dew point at any time.
 *
 * @param input.surfaceCelsius  of the sensor or its window, −150 to 100
 * @param input.air  one state of the air or the hours of a night, at least one
 * @returns the worst hour, and dew or ice there
 * @throws {EngineError} `out-of-range`
 * @derived compares the surface with the highest dew point
 */
export function condensation(input: { surfaceCelsius: number; air: readonly MoistAir[] }): Condensation {
  const { surfaceCelsius, air } = input
  requireInRange('surfaceCelsius', surfaceCelsius, -150, 100)
  requireInRange('air.length', air.length, 1)
  const dewPoints = air.map(dewPointCelsius)
  const dewPoint = Math.max(...dewPoints)
  const below = dewPoint - surfaceCelsius
  return {
    dewPointCelsius: dewPoint,
    atIndex: dewPoints.indexOf(dewPoint),
    belowDewPointCelsius: below,
    deposit: below <= 0 ? 'none' : surfaceCelsius > 0 ? 'dew' : 'ice',
  }
}
