// What follows from gain, dark noise and saturation: noise model, threshold, dynamic range. EMVA 1288 Release 4.0
// Linear; electrons throughout, sq² = 1/12 ADU² being the variance of rounding to whole ADU.

import { LIGHT_SPEED_METERS_PER_SECOND, PLANCK_JOULE_SECONDS } from '../constants.ts'
import { requireInRange } from '../errors.ts'

/** Variance of rounding to whole ADU. */
export const QUANTIZATION_ADU2 = 1 / 12

/** Dark variance below which rounding hides the read noise (EMVA 1288 Release 4.0 Linear, eq. 54). */
export const QUANTIZATION_LIMIT_ADU2 = 0.24

/**
 * Photons that fall on a pixel.
 *
 *     μ_p = A E t λ/(h c)
 *
 * @param input.pixelAreaUm2  A, ≥ 0
 * @param input.irradianceMicrowattsPerCm2  E, ≥ 0
 * @param input.exposureSeconds  t, ≥ 0
 * @param input.wavelengthNm  λ, 1 to 1e5
 * @returns photons
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, section 2.1 (from memory)
 */
export function photonsPerPixel(input: {
  pixelAreaUm2: number
  irradianceMicrowattsPerCm2: number
  exposureSeconds: number
  wavelengthNm: number
}): number {
  const { pixelAreaUm2, irradianceMicrowattsPerCm2, exposureSeconds, wavelengthNm } = input
  requireInRange('pixelAreaUm2', pixelAreaUm2, 0, 1e9)
  requireInRange('irradianceMicrowattsPerCm2', irradianceMicrowattsPerCm2, 0, 1e12)
  requireInRange('exposureSeconds', exposureSeconds, 0, 1e9)
  requireInRange('wavelengthNm', wavelengthNm, 1, 1e5)
  // 1 µm² of 1 µW/cm² is 1e-14 W.
  const energyJoules = pixelAreaUm2 * irradianceMicrowattsPerCm2 * 1e-14 * exposureSeconds
  return (energyJoules * wavelengthNm * 1e-9) / (PLANCK_JOULE_SECONDS.value * LIGHT_SPEED_METERS_PER_SECOND.value)
}

/** Noise in the dark and fixed pattern, as the standard's model of a camera has them. */
export interface NoiseModel {
  /** σ_d without the quantisation, ≥ 0. */
  readNoiseElectrons: number
  /** σ_q²/K²: variance of rounding, ≥ 0. */
  quantizationElectrons2: number
}

/**
 * Temporal signal-to-noise ratio of one pixel.
 *
 *     SNR = μ_e/√(σ_d² + σ_q²/K² + μ_e)
 *
 * @param input.electrons  μ_e = η μ_p, > 0
 * @returns ≥ 0
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 21
 */
export function temporalSnr(input: NoiseModel & { electrons: number }): number {
  return totalSnr({ ...input, darkNonUniformityElectrons: 0, photoResponseNonUniformityShare: 0 })
}

/**
 * Signal-to-noise ratio with the fixed pattern left in.
 *
 *     SNR = μ_e/√(σ_d² + σ_q²/K² + DSNU² + μ_e + PRNU² μ_e²)
 *
 * @param input.electrons  μ_e, > 0
 * @param input.darkNonUniformityElectrons  DSNU, ≥ 0
 * @param input.photoResponseNonUniformityShare  PRNU as a fraction, ≥ 0
 * @returns at most 1/PRNU
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 69
 */
export function totalSnr(
  input: NoiseModel & {
    electrons: number
    darkNonUniformityElectrons: number
    photoResponseNonUniformityShare: number
  },
): number {
  const { electrons, readNoiseElectrons, quantizationElectrons2 } = input
  requireInRange('electrons', electrons, 1e-12, 1e12)
  requireInRange('readNoiseElectrons', readNoiseElectrons, 0, 1e9)
  requireInRange('quantizationElectrons2', quantizationElectrons2, 0, 1e18)
  requireInRange('darkNonUniformityElectrons', input.darkNonUniformityElectrons, 0, 1e9)
  requireInRange('photoResponseNonUniformityShare', input.photoResponseNonUniformityShare, 0, 1)
  const dark = readNoiseElectrons ** 2 + quantizationElectrons2 + input.darkNonUniformityElectrons ** 2
  return electrons / Math.sqrt(dark + electrons + (input.photoResponseNonUniformityShare * electrons) ** 2)
}

/**
 * Signal at which the temporal signal-to-noise ratio is 1.
 *
 *     μ_e.min = √(σ_d² + σ_q²/K² + 1/4) + 1/2
 *
 * @returns electrons, ≥ 1
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eqs. 26 and 27 (Release 3.1 approximates √(σ_d² + σ_q²/K²) + 1/2)
 */
export function sensitivityThresholdElectrons(noise: NoiseModel): number {
  requireInRange('readNoiseElectrons', noise.readNoiseElectrons, 0, 1e9)
  requireInRange('quantizationElectrons2', noise.quantizationElectrons2, 0, 1e18)
  return Math.sqrt(noise.readNoiseElectrons ** 2 + noise.quantizationElectrons2 + 1 / 4) + 1 / 2
}

/** A ratio of signals, also in decibels of 20 log₁₀ and in bits of log₂. */
export interface SignalRatio {
  ratio: number
  decibels: number
  bits: number
}

/**
 * A ratio of signals in the units in use.
 *
 * @param ratio  > 0
 * @returns 20 log₁₀ and log₂ of it
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 28
 */
export function signalRatio(ratio: number): SignalRatio {
  requireInRange('ratio', ratio, 1e-300)
  return { ratio, decibels: 20 * Math.log10(ratio), bits: Math.log2(ratio) }
}

/**
 * Highest temporal signal-to-noise ratio, that of photon noise at saturation.
 *
 *     SNR_max = √μ_e.sat
 *
 * @param saturationElectrons  > 0
 * @returns with its decibels
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, section 2.6 (from memory)
 */
export function maximumSnr(saturationElectrons: number): SignalRatio {
  requireInRange('saturationElectrons', saturationElectrons, 1e-300)
  return signalRatio(Math.sqrt(saturationElectrons))
}

/**
 * Dynamic range.
 *
 *     DR = μ_e.sat/μ_e.min
 *
 * @param input.saturationElectrons  > 0
 * @returns with decibels and bits
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 28
 */
export function emvaDynamicRange(input: NoiseModel & { saturationElectrons: number }): SignalRatio {
  return signalRatio(input.saturationElectrons / sensitivityThresholdElectrons(input))
}

export interface DarkNoise {
  /** σ_d, without the quantisation; null where rounding hides it. */
  readNoiseElectrons: number | null
  /** What it lies below where rounding hides it; null where it was measured. */
  readNoiseBelowElectrons: number | null
  /** √(dark variance)/K: what one frame shows, quantisation included. The noise models of this engine mean this one. */
  withQuantizationElectrons: number
  /** σ_q²/K². */
  quantizationElectrons2: number
}

/**
 * Read noise from the variance of a pair of darks or biases.
 *
 *     σ_d = √(σ²_y.dark − 1/12)/K;   below 0.24 ADU² only σ_d < √(0.24 − 1/12)/K is known
 *
 * @param input.darkTemporalVarianceAdu2  ≥ 0
 * @param input.electronsPerAdu  1/K, > 0
 * @returns electrons
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eqs. 53 and 54 (the standard rounds the bound to 0.40/K)
 */
export function darkNoise(input: { darkTemporalVarianceAdu2: number; electronsPerAdu: number }): DarkNoise {
  const { darkTemporalVarianceAdu2: variance, electronsPerAdu } = input
  requireInRange('darkTemporalVarianceAdu2', variance, 0, 1e15)
  requireInRange('electronsPerAdu', electronsPerAdu, 1e-12, 1e9)
  const isHidden = variance < QUANTIZATION_LIMIT_ADU2
  const electrons = electronsPerAdu * Math.sqrt(Math.max(variance, QUANTIZATION_LIMIT_ADU2) - QUANTIZATION_ADU2)
  return {
    readNoiseElectrons: isHidden ? null : electrons,
    readNoiseBelowElectrons: isHidden ? electrons : null,
    withQuantizationElectrons: electronsPerAdu * Math.sqrt(variance),
    quantizationElectrons2: electronsPerAdu ** 2 * QUANTIZATION_ADU2,
  }
}
