// Dark current of a sensor at a temperature, from one measured reference. With a doubling step given, EMVA's law, whose
// constant step holds near the reference only; without, the depletion form with the silicon band gap, normalised at the
// reference (Widenhorn et al. 2002, Proc. SPIE 4669, 193, measured over 222 to 291 K).

import { requireInRange } from '../errors.ts'
import { SENSOR_CELSIUS, depletionDoublingCelsius, depletionRatio, doublingRatio } from './dark-current-forms.ts'

export type DarkCurrentForm = 'doubling' | 'depletion'

export interface DarkCurrentReference {
  /** ≥ 0, at most 1e6. */
  electronsPerPixelSecond: number
  /** −150 to 100. */
  atCelsius: number
}

/** How dark current follows temperature: a reference, and a doubling step where one was measured. */
export interface DarkCurrentLaw {
  reference: DarkCurrentReference
  /** Step of the doubling law, 1 to 50; without it the depletion form is used. */
  doublingCelsius?: number | undefined
}

export interface DarkCurrentAtTemperature {
  electronsPerPixelSecond: number
  form: DarkCurrentForm
  /** How far from the reference the law was stretched; negative when colder. */
  stretchCelsius: number
  /** Doubling step of the form used, at this temperature. */
  localDoublingCelsius: number
}

/** No reference is above this: a pixel that fills in a fraction of a second. */
export const LARGEST_DARK_CURRENT = 1e6

/**
 * Dark current at a temperature.
 *
 *     doubling: D₀ 2^((T − T₀)/T_d);   depletion: D₀ (T/T₀)^1.5 exp(Eg(T₀)/2kT₀ − Eg(T)/2kT)
 *
 * @param input.temperatureCelsius  −150 to 100
 * @returns electrons per pixel and second (≥ 0), the form used and how far it was stretched
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear (doubling); Janesick 2001 and Widenhorn et al. 2002 (depletion)
 */
export function darkCurrentElectronsPerPixelSecond(
  input: DarkCurrentLaw & { temperatureCelsius: number },
): DarkCurrentAtTemperature {
  const { reference, temperatureCelsius, doublingCelsius } = input
  requireInRange('reference.electronsPerPixelSecond', reference.electronsPerPixelSecond, 0, LARGEST_DARK_CURRENT)
  const referenceCelsius = reference.atCelsius
  const ratio =
    doublingCelsius === undefined
      ? depletionRatio({ temperatureCelsius, referenceCelsius })
      : doublingRatio({ temperatureCelsius, referenceCelsius, doublingCelsius })
  return {
    electronsPerPixelSecond: reference.electronsPerPixelSecond * ratio,
    form: doublingCelsius === undefined ? 'depletion' : 'doubling',
    stretchCelsius: temperatureCelsius - reference.atCelsius,
    localDoublingCelsius: doublingCelsius ?? depletionDoublingCelsius(temperatureCelsius),
  }
}

/**
 * Temperature at which a law gives a dark current: the inverse of darkCurrentElectronsPerPixelSecond.
 *
 * @param input.electronsPerPixelSecond  wanted, ≥ 0
 * @returns °C; null where no temperature from −150 to 100 °C gives it
 * @throws {EngineError} `out-of-range`
 * @derived both forms rise with temperature, so halving the bracket finds the one root, to 1e-10 °C
 */
export function temperatureOfDarkCurrent(input: DarkCurrentLaw & { electronsPerPixelSecond: number }): number | null {
  const { electronsPerPixelSecond: wanted, ...law } = input
  requireInRange('electronsPerPixelSecond', wanted, 0)
  const at = (temperatureCelsius: number) =>
    darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius }).electronsPerPixelSecond
  let cold: number = SENSOR_CELSIUS.minimum
  let warm: number = SENSOR_CELSIUS.maximum
  if (at(cold) >= wanted || at(warm) < wanted) return null
  while (warm - cold > 1e-10) {
    const middle = (cold + warm) / 2
    if (at(middle) < wanted) cold = middle
    else warm = middle
  }
  return (cold + warm) / 2
}
