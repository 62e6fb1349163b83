// Darks taken at another temperature than the lights leave a signal behind, the same in every sub: on an ordinary pixel
// the difference of the two dark currents, on a hot pixel the same share of its own, larger, rate.

import { darkCurrentElectronsPerPixelSecond, temperatureOfDarkCurrent } from './dark-current.ts'
import { stackSubVariance } from './calibration-stack.ts'
import { requireInRange } from '../errors.ts'
import type { DarkCurrentLaw } from './dark-current.ts'
import type { Readout } from '../exposure/noise.ts'

export interface MismatchQuestion {
  law: DarkCurrentLaw
  /** Temperature of the lights, −150 to 100. */
  lightCelsius: number
  /** Rate of a hot pixel at the temperature of the lights, electrons per second, 0 to 1e9. */
  hotPixelElectronsPerSecond: number
  /** 0 to 1e9. */
  targetElectronsPerPixelSecond: number
  /** 0 to 1e9. */
  skyElectronsPerPixelSecond: number
  readout: Readout
  /** 1e-6 to 1e6. */
  subSeconds: number
  /** N, 1 to 1e7. */
  subCount: number
  /** M, independent pointings, 1 to 1e7; 1 without dither. */
  ditherPositions: number
}

export interface MismatchResidual {
  /** Left in one sub; negative when the darks were warmer. */
  perSubElectrons: number
  /** Left in the sum of all subs over the noise (RMS) of that sum on an ordinary pixel, with the dither given. */
  overStackNoise: number
  /** The same if nothing were dithered. */
  overStackNoiseWithoutDither: number
}

export interface TemperatureMismatch {
  ordinary: MismatchResidual
  hot: MismatchResidual
}

/**
 * What darks of a temperature leave in the stack.
 *
 *     r = (D(T_light) − D(T_dark)) t,   r_hot = r · hot rate/D(T_light)
 *
 * Without dither N r stands in the sum of N subs. With M positions the residuals of ordinary pixels, taken as independent
 * from pixel to pixel, add to N r/√M, and a hot pixel touches a point of the sky in N/M of the subs only. The part of the
 * residual that all pixels share is a pedestal, which no dither removes and no contrast suffers from.
 *
 * @param question.darkCelsius  temperature of the darks, −150 to 100
 * @returns electrons in a sub, and the residual of the sum over its noise √(N V)
 * @throws {EngineError} `out-of-range`
 * @derived repeats of one error add as an amplitude, independent errors in variance
 */
export function temperatureMismatch(question: MismatchQuestion & { darkCelsius: number }): TemperatureMismatch {
  const stack = stackOf(question)
  const { law, lightCelsius, darkCelsius } = question
  const light = darkAt(law, lightCelsius)
  const difference = light - darkAt(law, darkCelsius)
  return {
    ordinary: residual(difference, stack, stack.ordinaryAmplitude),
    hot: residual(difference * hotRatio(question, light), stack, stack.hotAmplitude),
  }
}

export interface TemperatureTolerance {
  /** How much colder, and how much warmer, than the lights the darks may be; null when no limit within −150 to 100 °C. */
  colderCelsius: number | null
  warmerCelsius: number | null
}

/**
 * How far the temperature of the darks may be off while the residual stays small beside the stack's noise.
 *
 *     amplitude · r/√(N V) ≤ √share
 *
 * @param question.varianceShare  residual squared over the stack's variance, 1e-6 to 10
 * @returns degrees on either side, for an ordinary and for the hot pixel, with the dither given
 * @throws {EngineError} `out-of-range`
 * @derived temperatureMismatch solved for the temperature of the darks
 */
export function temperatureTolerance(question: MismatchQuestion & { varianceShare: number }): {
  ordinary: TemperatureTolerance
  hot: TemperatureTolerance
} {
  const { law, lightCelsius, varianceShare } = question
  requireInRange('varianceShare', varianceShare, 1e-6, 10)
  const stack = stackOf(question)
  const light = darkAt(law, lightCelsius)
  const allowed = (Math.sqrt(varianceShare) * stack.noise) / question.subSeconds
  const ratio = hotRatio(question, light)
  return {
    ordinary: toleranceOf(question, light, allowed / stack.ordinaryAmplitude),
    hot: toleranceOf(question, light, ratio > 0 ? allowed / (stack.hotAmplitude * ratio) : Infinity),
  }
}

interface Stack {
  /** √(N V) on an ordinary pixel. */
  noise: number
  subSeconds: number
  subCount: number
  /** How many times the residual of one sub stands in the sum. */
  ordinaryAmplitude: number
  hotAmplitude: number
}

function stackOf(question: MismatchQuestion): Stack {
  const { law, lightCelsius, subSeconds, subCount } = question
  requireInRange('hotPixelElectronsPerSecond', question.hotPixelElectronsPerSecond, 0, 1e9)
  const rates = {
    targetElectronsPerPixelSecond: question.targetElectronsPerPixelSecond,
    skyElectronsPerPixelSecond: question.skyElectronsPerPixelSecond,
    darkElectronsPerPixelSecond: darkAt(law, lightCelsius),
  }
  const variance = stackSubVariance({ ...question, rates })
  const positions = Math.min(question.ditherPositions, subCount)
  return {
    noise: Math.sqrt(subCount * variance),
    subSeconds,
    subCount,
    ordinaryAmplitude: subCount / Math.sqrt(positions),
    hotAmplitude: subCount / positions,
  }
}

function darkAt(law: DarkCurrentLaw, temperatureCelsius: number): number {
  return darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius }).electronsPerPixelSecond
}

/** Hot pixel's rate over an ordinary one's; 0 where an ordinary pixel has no dark current to take the share from. */
function hotRatio(question: MismatchQuestion, light: number): number {
  return light > 0 ? question.hotPixelElectronsPerSecond / light : 0
}

function residual(differencePerSecond: number, stack: Stack, amplitude: number): MismatchResidual {
  const perSubElectrons = differencePerSecond * stack.subSeconds
  return {
    perSubElectrons,
    overStackNoise: (amplitude * perSubElectrons) / stack.noise,
    overStackNoiseWithoutDither: (stack.subCount * perSubElectrons) / stack.noise,
  }
}

/** Temperatures at which the dark current differs by what is allowed, as distances from the lights'. */
function toleranceOf(question: MismatchQuestion, light: number, allowedPerSecond: number): TemperatureTolerance {
  const { law, lightCelsius } = question
  const reach = (electronsPerPixelSecond: number): number | null => {
    if (electronsPerPixelSecond <= 0 || electronsPerPixelSecond === Infinity) return null
    const celsius = temperatureOfDarkCurrent({ ...law, electronsPerPixelSecond })
    return celsius === null ? null : Math.abs(celsius - lightCelsius)
  }
  return { colderCelsius: reach(light - allowedPerSecond), warmerCelsius: reach(light + allowedPerSecond) }
}
