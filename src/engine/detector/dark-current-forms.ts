// How dark current grows with temperature in silicon: each form as a ratio to a reference temperature, with its local
// doubling step. Kelvin inside the formulas, Celsius at the edge; k is the CODATA value, the gap Varshni's set A.

import { BOLTZMANN_ELECTRONVOLTS_PER_KELVIN, ELEMENTARY_CHARGE_COULOMBS, ZERO_CELSIUS_KELVIN } from '../constants.ts'
import { requireInRange } from '../errors.ts'

const BOLTZMANN = BOLTZMANN_ELECTRONVOLTS_PER_KELVIN.value

/** Sensor temperatures the models are asked for: wider than Widenhorn's 222 to 291 K, within which they were measured. */
export const SENSOR_CELSIUS = { minimum: -150, maximum: 100 } as const

/** Steps a doubling law may have; data sheets and rules of thumb lie between 5 and 8 °C (from memory). */
export const DOUBLING_CELSIUS = { minimum: 1, maximum: 50 } as const

/** Constants in print for silicon in Varshni's formula. */
export const BAND_GAP_SETS = {
  A: {
    zeroKelvinElectronVolts: 1.1557,
    slopeElectronVoltsPerKelvin: 7.021e-4,
    offsetKelvin: 1108,
    source:
      'Varshni 1967, Physica 34, 149 (from memory); as used by Rajkanan, Singh & Shewchun 1979, Solid-State Electron. 22, 793',
  },
  B: {
    zeroKelvinElectronVolts: 1.17,
    slopeElectronVoltsPerKelvin: 4.73e-4,
    offsetKelvin: 636,
    source: 'textbook values beside set A (from memory)',
  },
  C: {
    zeroKelvinElectronVolts: 1.169,
    slopeElectronVoltsPerKelvin: 4.9e-4,
    offsetKelvin: 655,
    source: 'Sze & Ng 2007, Physics of Semiconductor Devices, 3rd ed. (from memory)',
  },
} as const

export type BandGapSet = keyof typeof BAND_GAP_SETS

/**
 * Sensor temperature in kelvin.
 *
 * @param field  what to call it in a refusal
 * @param celsius  −150 to 100
 * @returns K, 123.15 to 373.15
 * @throws {EngineError} `out-of-range`
 * @source SI Brochure, 9th edition: t/°C = T/K − 273.15
 */
export function sensorKelvin(field: string, celsius: number): number {
  requireInRange(field, celsius, SENSOR_CELSIUS.minimum, SENSOR_CELSIUS.maximum)
  return celsius + ZERO_CELSIUS_KELVIN.value
}

/**
 * Band gap of silicon.
 *
 *     Eg(T) = E₀ − a T²/(T + b)
 *
 * @param kelvin  0 to 1000
 * @param set  constants in print; A throughout this engine
 * @returns electronvolts
 * @throws {EngineError} `out-of-range`
 * @source Varshni 1967, Physica 34, 149 (from memory); constants as named in BAND_GAP_SETS
 */
export function siliconBandGapElectronVolts(kelvin: number, set: BandGapSet = 'A'): number {
  requireInRange('kelvin', kelvin, 0, 1000)
  const { zeroKelvinElectronVolts, slopeElectronVoltsPerKelvin, offsetKelvin } = BAND_GAP_SETS[set]
  return zeroKelvinElectronVolts - (slopeElectronVoltsPerKelvin * kelvin ** 2) / (kelvin + offsetKelvin)
}

/** Temperature and reference temperature of a ratio, −150 to 100 °C. */
export interface TemperaturePair {
  temperatureCelsius: number
  referenceCelsius: number
}

function kelvinPair(pair: TemperaturePair): { kelvin: number; referenceKelvin: number } {
  return {
    kelvin: sensorKelvin('temperatureCelsius', pair.temperatureCelsius),
    referenceKelvin: sensorKelvin('referenceCelsius', pair.referenceCelsius),
  }
}

/**
 * Dark current of the depletion (ideal-diode) form over that at a reference temperature.
 *
 *     (T/T₀)^1.5 exp(Eg(T₀)/2kT₀ − Eg(T)/2kT)
 *
 * @returns ratio, > 0
 * @throws {EngineError} `out-of-range`
 * @source Janesick 2001, Scientific CCDs, SPIE PM83 (from memory), normalised; half the gap: Widenhorn et al. 2002, Proc. SPIE 4669, 193
 */
export function depletionRatio(pair: TemperaturePair): number {
  const { kelvin, referenceKelvin } = kelvinPair(pair)
  const exponent = (at: number) => siliconBandGapElectronVolts(at) / (2 * BOLTZMANN * at)
  return (kelvin / referenceKelvin) ** 1.5 * Math.exp(exponent(referenceKelvin) - exponent(kelvin))
}

/**
 * Dark current of the diffusion form over that at a reference temperature: the square of the depletion form.
 *
 *     (T/T₀)³ exp(Eg(T₀)/kT₀ − Eg(T)/kT)
 *
 * @returns ratio, > 0
 * @throws {EngineError} `out-of-range`
 * @source Widenhorn et al. 2002, Proc. SPIE 4669, 193: it wins when the sensor is warm
 */
export function diffusionRatio(pair: TemperaturePair): number {
  return depletionRatio(pair) ** 2
}

/**
 * Dark current of an activated process over that at a reference temperature.
 *
 *     (T/T₀)^n exp(E/k (1/T₀ − 1/T))
 *
 * @param input.activationEnergyElectronVolts  E, 0 to 5
 * @param input.temperaturePower  n, −5 to 5; 0 is Arrhenius' law, data sheets print 3
 * @returns ratio, > 0
 * @throws {EngineError} `out-of-range`
 * @source Arrhenius' law; T³ exp(−6400/T) as printed in CCD data sheets
 */
export function activatedRatio(
  input: TemperaturePair & { activationEnergyElectronVolts: number; temperaturePower: number },
): number {
  const { activationEnergyElectronVolts: energy, temperaturePower } = input
  requireInRange('activationEnergyElectronVolts', energy, 0, 5)
  requireInRange('temperaturePower', temperaturePower, -5, 5)
  const { kelvin, referenceKelvin } = kelvinPair(input)
  return (
    (kelvin / referenceKelvin) ** temperaturePower * Math.exp((energy / BOLTZMANN) * (1 / referenceKelvin - 1 / kelvin))
  )
}

/**
 * Dark current of the doubling law over that at a reference temperature.
 *
 *     2^((T − T₀)/T_d)
 *
 * @param input.doublingCelsius  T_d, 1 to 50
 * @returns ratio, > 0
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, dark current doubling temperature
 */
export function doublingRatio(input: TemperaturePair & { doublingCelsius: number }): number {
  const { kelvin, referenceKelvin } = kelvinPair(input)
  requireInRange('doublingCelsius', input.doublingCelsius, DOUBLING_CELSIUS.minimum, DOUBLING_CELSIUS.maximum)
  return 2 ** ((kelvin - referenceKelvin) / input.doublingCelsius)
}

/**
 * Apparent activation energy of the depletion form: what a straight line in ln D over 1/T measures at one temperature.
 *
 *     k T² d ln D/dT = 1.5 k T + (Eg − T dEg/dT)/2
 *
 * @param temperatureCelsius  −150 to 100
 * @returns electronvolts
 * @throws {EngineError} `out-of-range`
 * @derived derivative of the depletion form with Varshni's gap, set A
 */
export function depletionActivationEnergyElectronVolts(temperatureCelsius: number): number {
  const kelvin = sensorKelvin('temperatureCelsius', temperatureCelsius)
  const { slopeElectronVoltsPerKelvin, offsetKelvin } = BAND_GAP_SETS.A
  const gapSlope = (-slopeElectronVoltsPerKelvin * kelvin * (kelvin + 2 * offsetKelvin)) / (kelvin + offsetKelvin) ** 2
  return 1.5 * BOLTZMANN * kelvin + (siliconBandGapElectronVolts(kelvin) - kelvin * gapSlope) / 2
}

/**
 * Local doubling step of an activated dark current.
 *
 *     T_d = k T² ln 2/E
 *
 * @param input.activationEnergyElectronVolts  E, 0.01 to 5
 * @returns °C per doubling, > 0
 * @throws {EngineError} `out-of-range`
 * @source Arrhenius' law: ln 2 over d ln D/dT
 */
export function arrheniusDoublingCelsius(input: {
  activationEnergyElectronVolts: number
  temperatureCelsius: number
}): number {
  requireInRange('activationEnergyElectronVolts', input.activationEnergyElectronVolts, 0.01, 5)
  const kelvin = sensorKelvin('temperatureCelsius', input.temperatureCelsius)
  return (BOLTZMANN * kelvin ** 2 * Math.LN2) / input.activationEnergyElectronVolts
}

/**
 * Activation energy that gives a doubling step at a temperature: the inverse of arrheniusDoublingCelsius.
 *
 *     E = k T² ln 2/T_d
 *
 * @param input.doublingCelsius  T_d, 1 to 50
 * @returns electronvolts, > 0
 * @throws {EngineError} `out-of-range`
 * @source Arrhenius' law
 */
export function equivalentActivationEnergyElectronVolts(input: {
  doublingCelsius: number
  temperatureCelsius: number
}): number {
  requireInRange('doublingCelsius', input.doublingCelsius, DOUBLING_CELSIUS.minimum, DOUBLING_CELSIUS.maximum)
  const kelvin = sensorKelvin('temperatureCelsius', input.temperatureCelsius)
  return (BOLTZMANN * kelvin ** 2 * Math.LN2) / input.doublingCelsius
}

/**
 * Local doubling step of the depletion form: about 8.4 °C at +25 °C, 6.1 °C at −20 °C.
 *
 * @param temperatureCelsius  −150 to 100
 * @returns °C per doubling, > 0
 * @throws {EngineError} `out-of-range`
 * @derived ln 2 over d ln D/dT of the depletion form
 */
export function depletionDoublingCelsius(temperatureCelsius: number): number {
  const activationEnergyElectronVolts = depletionActivationEnergyElectronVolts(temperatureCelsius)
  return arrheniusDoublingCelsius({ activationEnergyElectronVolts, temperatureCelsius })
}

/**
 * Local doubling step of the diffusion form.
 *
 * @param temperatureCelsius  −150 to 100
 * @returns °C per doubling, > 0
 * @throws {EngineError} `out-of-range`
 * @derived the diffusion form is the square of the depletion form, so half its step
 */
export function diffusionDoublingCelsius(temperatureCelsius: number): number {
  return depletionDoublingCelsius(temperatureCelsius) / 2
}

/**
 * Electrons per pixel that a dark current density means.
 *
 *     D = J · pixel area/q
 *
 * @param input.picoamperesPerCm2  J, 0 to 1e9
 * @param input.pixelSizeUm  side of a square pixel, 0.1 to 1000
 * @returns electrons per pixel and second, ≥ 0
 * @throws {EngineError} `out-of-range`
 * @source Janesick 2001, Scientific CCDs, SPIE PM83 (from memory), with the exact SI charge
 */
export function darkCurrentFromDensity(input: { picoamperesPerCm2: number; pixelSizeUm: number }): number {
  requireInRange('picoamperesPerCm2', input.picoamperesPerCm2, 0, 1e9)
  requireInRange('pixelSizeUm', input.pixelSizeUm, 0.1, 1000)
  const areaCm2 = (input.pixelSizeUm * 1e-4) ** 2
  return (input.picoamperesPerCm2 * 1e-12 * areaCm2) / ELEMENTARY_CHARGE_COULOMBS.value
}
