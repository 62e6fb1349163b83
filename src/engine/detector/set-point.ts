// Which temperature to hold the sensor at. Bounded below by what the cooler holds through the warmest hour, above by the
// coldest hour (a cooler does not heat); the warmest temperature at which dark noise is small beside the sky's is enough,
// and colder than that buys nothing.

import { darkCurrentElectronsPerPixelSecond, temperatureOfDarkCurrent } from './dark-current.ts'
import { requireInRange } from '../errors.ts'
import type { DarkCurrentLaw } from './dark-current.ts'

export interface SetPointQuestion {
  law: DarkCurrentLaw
  /** Air temperatures through the night, −60 to 60; one when only one is known. */
  ambientCelsius: readonly number[]
  /** How far below ambient the cooler gets, 0 to 80; 0 without a cooler. */
  coolerReachCelsius: number
  /** Kept in hand so that the cooler can regulate, 0 to 20. */
  marginCelsius: number
  /** S, > 0, at most 1e9. */
  skyElectronsPerPixelSecond: number
  /** Dark noise over sky noise (RMS, √(D/S)) that is small enough, 0.001 to 10. */
  darkToSkyNoise: number
  /** Temperatures for which the caller holds darks; may be empty. */
  libraryCelsius: readonly number[]
}

/**
 * Why this temperature: cold enough at the warmest that is; no cooling needed even in the warmest hour; the cooler cannot
 * get to where it would be cold enough; or the library has no darks that are, although the cooler would get there.
 */
export type SetPointReason = 'cold-enough' | 'cooling-not-needed' | 'cooler-limited' | 'library-not-cold-enough'

export interface SetPoint {
  celsius: number
  reason: SetPointReason
  /** Whether the caller's darks decided; out of reach when none of their temperatures can be held. */
  library: 'none-given' | 'used' | 'out-of-reach'
  coldestReachableCelsius: number
  /** Index of the hour that sets it. */
  warmestHourIndex: number
  /** Warmest that can be held through the coldest hour, and never below coldestReachableCelsius. */
  warmestHeldCelsius: number
  /** False when the night cools so far that no one temperature can be held from end to end. */
  heldAllNight: boolean
  /** Null when every temperature from −150 to 100 °C is cold enough, or none is; isColdEnough tells which. */
  warmestColdEnoughCelsius: number | null
  isColdEnough: boolean
  darkElectronsPerPixelSecond: number
  /** Dark noise over sky noise (RMS) at this temperature. */
  darkToSkyNoise: number
  /** What the coldest reachable temperature would save of the noise of sky and dark together (RMS), 0 to 1. */
  noiseSavedByColdestShare: number
}

/** Slack for temperatures that were meant to be equal. */
const SAME_CELSIUS = 1e-9

/**
 * Set-point of the cooler for a night.
 *
 *     coldest reachable = warmest hour − reach + margin;  cold enough: D(T) ≤ share² S
 *
 * Free choice is the warmest cold-enough whole degree; with darks at hand, the warmest of theirs that is cold enough, else
 * their coldest that can be held.
 *
 * @returns the temperature, the bounds it lies between and the reason
 * @throws {EngineError} `out-of-range`
 * @derived √(D t)/√(S t) does not depend on the length of the sub
 */
export function setPointAdvice(question: SetPointQuestion): SetPoint {
  requireSetPointQuestion(question)
  const { law, ambientCelsius, skyElectronsPerPixelSecond: sky, libraryCelsius } = question
  const warmest = Math.max(...ambientCelsius)
  const coldestReachableCelsius = warmest - question.coolerReachCelsius + question.marginCelsius
  const coldestHour = Math.min(...ambientCelsius)
  const warmestHeldCelsius = Math.max(coldestHour, coldestReachableCelsius)
  const darkAt = (temperatureCelsius: number) =>
    darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius }).electronsPerPixelSecond
  const enough = question.darkToSkyNoise ** 2 * sky
  const held = libraryCelsius.filter(
    (celsius) => celsius >= coldestReachableCelsius - SAME_CELSIUS && celsius <= warmestHeldCelsius + SAME_CELSIUS,
  )
  const bounds = {
    coldestReachableCelsius,
    warmestHeldCelsius,
    warmestColdEnoughCelsius: temperatureOfDarkCurrent({ ...law, electronsPerPixelSecond: enough }),
    coldestIsEnough: darkAt(coldestReachableCelsius) <= enough,
    warmestIsEnough: darkAt(warmest) <= enough,
  }
  const choice = held.length > 0 ? libraryChoice(held, bounds) : freeChoice(bounds)
  const dark = darkAt(choice.celsius)
  return {
    ...choice,
    library: held.length > 0 ? 'used' : libraryCelsius.length > 0 ? 'out-of-reach' : 'none-given',
    coldestReachableCelsius,
    warmestHourIndex: ambientCelsius.indexOf(warmest),
    warmestHeldCelsius,
    heldAllNight: coldestHour >= coldestReachableCelsius,
    warmestColdEnoughCelsius: bounds.warmestColdEnoughCelsius,
    isColdEnough: choice.reason === 'cold-enough' || choice.reason === 'cooling-not-needed',
    darkElectronsPerPixelSecond: dark,
    darkToSkyNoise: Math.sqrt(dark / sky),
    noiseSavedByColdestShare: 1 - Math.sqrt((sky + darkAt(coldestReachableCelsius)) / (sky + dark)),
  }
}

interface Bounds {
  coldestReachableCelsius: number
  warmestHeldCelsius: number
  warmestColdEnoughCelsius: number | null
  coldestIsEnough: boolean
  warmestIsEnough: boolean
}

function freeChoice(bounds: Bounds): { celsius: number; reason: SetPointReason } {
  const { coldestReachableCelsius: coldest, warmestHeldCelsius: held, warmestIsEnough } = bounds
  if (!bounds.coldestIsEnough) {
    // Adding 0 turns -0 into 0.
    const whole = Math.ceil(coldest) + 0
    return { celsius: whole <= held ? whole : coldest, reason: 'cooler-limited' }
  }
  const warmest = Math.min(bounds.warmestColdEnoughCelsius ?? held, held)
  const whole = Math.floor(warmest + SAME_CELSIUS)
  return {
    celsius: whole >= coldest ? whole : warmest,
    reason: warmestIsEnough ? 'cooling-not-needed' : 'cold-enough',
  }
}

function libraryChoice(held: readonly number[], bounds: Bounds): { celsius: number; reason: SetPointReason } {
  const { warmestColdEnoughCelsius, coldestIsEnough, warmestIsEnough } = bounds
  const limit = warmestColdEnoughCelsius ?? (coldestIsEnough ? Infinity : -Infinity)
  const coldEnough = held.filter((celsius) => celsius <= limit + SAME_CELSIUS)
  if (coldEnough.length > 0) {
    return { celsius: Math.max(...coldEnough), reason: warmestIsEnough ? 'cooling-not-needed' : 'cold-enough' }
  }
  return { celsius: Math.min(...held), reason: coldestIsEnough ? 'library-not-cold-enough' : 'cooler-limited' }
}

function requireSetPointQuestion(question: SetPointQuestion): void {
  requireInRange('ambientCelsius.length', question.ambientCelsius.length, 1)
  for (const celsius of question.ambientCelsius) requireInRange('ambientCelsius', celsius, -60, 60)
  for (const celsius of question.libraryCelsius) requireInRange('libraryCelsius', celsius, -150, 100)
  requireInRange('coolerReachCelsius', question.coolerReachCelsius, 0, 80)
  requireInRange('marginCelsius', question.marginCelsius, 0, 20)
  requireInRange('skyElectronsPerPixelSecond', question.skyElectronsPerPixelSecond, 1e-9, 1e9)
  requireInRange('darkToSkyNoise', question.darkToSkyNoise, 0.001, 10)
}
