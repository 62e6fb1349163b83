// Light gathered by a telescope and passed by mirrors and glass, and the scale of its pixels.

import {
  ARCSEC_PER_RADIAN,
  ELEMENTARY_CHARGE_COULOMBS,
  LIGHT_SPEED_METERS_PER_SECOND,
  PLANCK_JOULE_SECONDS,
} from '../constants.ts'
import { EngineError, requireInRange } from '../errors.ts'

/** Aperture and central obstruction, as diameters. */
export interface Aperture {
  readonly apertureMm: number
  readonly obstructionMm: number
}

/**
 * Share of the aperture that a central obstruction leaves clear.
 *
 *     1 - (d/D)²
 *
 * @param input.apertureMm  D; 1 to 100000
 * @param input.obstructionMm  d; 0 to below D
 * @returns share; above 0, up to 1
 * @throws {EngineError} `out-of-range`
 * @derived area of a ring
 */
export function clearApertureShare(input: Aperture): number {
  requireInRange('apertureMm', input.apertureMm, 1, 1e5)
  requireInRange('obstructionMm', input.obstructionMm, 0)
  if (input.obstructionMm >= input.apertureMm) {
    throw new EngineError('out-of-range', `obstructionMm is ${input.obstructionMm}; nothing of the aperture is left.`, {
      field: 'obstructionMm',
      given: input.obstructionMm,
      allowed: `below ${input.apertureMm}`,
    })
  }
  return 1 - (input.obstructionMm / input.apertureMm) ** 2
}

/**
 * Clear collecting area.
 *
 *     A = π/4 (D² - d²)
 *
 * @param input.apertureMm  D; 1 to 100000
 * @param input.obstructionMm  d; 0 to below D
 * @returns m²
 * @throws {EngineError} `out-of-range`
 * @derived area of a ring
 */
export function collectingAreaM2(input: Aperture): number {
  return clearApertureShare(input) * (Math.PI / 4) * (input.apertureMm / 1000) ** 2
}

/**
 * Sky that one binned pixel covers, along a side.
 *
 *     p = 206.265 · pixel(µm) · binning / focal length(mm), with 206.265 the arcseconds of a milliradian
 *
 * @param input.pixelSizeUm  0.1 to 1000
 * @param input.binning  pixels per side that are summed; 1 to 64
 * @param input.focalLengthMm  1 to 1e6
 * @returns arcsec per pixel, at the centre of the field
 * @throws {EngineError} `out-of-range`
 * @derived small angle of a pixel seen from the focal length away
 */
export function pixelScaleArcsec(input: { pixelSizeUm: number; binning: number; focalLengthMm: number }): number {
  requireInRange('pixelSizeUm', input.pixelSizeUm, 0.1, 1000)
  requireInRange('binning', input.binning, 1, 64)
  requireInRange('focalLengthMm', input.focalLengthMm, 1, 1e6)
  return ((ARCSEC_PER_RADIAN.value / 1000) * input.pixelSizeUm * input.binning) / input.focalLengthMm
}

/**
 * Share of light left after several equal surfaces, mirrors or glass.
 *
 *     T = tⁿ
 *
 * @param input.sharePerSurface  t, reflectance of a mirror or 1 minus the loss at glass; 0 to 1
 * @param input.surfaceCount  n; 0 to 100
 * @returns share; 0 to 1
 * @throws {EngineError} `out-of-range`
 * @derived independent surfaces multiply
 */
export function surfacesTransmission(input: { sharePerSurface: number; surfaceCount: number }): number {
  requireInRange('sharePerSurface', input.sharePerSurface, 0, 1)
  requireInRange('surfaceCount', input.surfaceCount, 0, 100)
  return input.sharePerSurface ** input.surfaceCount
}

/**
 * Reflectance of a surface at normal incidence, glass (k = 0) or metal.
 *
 *     R = ((n - 1)² + k²)/((n + 1)² + k²)
 *
 * @param input.refractiveIndex  n; above 0 (at least 1e-3) to 10
 * @param input.extinctionCoefficient  k; 0 to 100
 * @returns share reflected; 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Fresnel's equations at normal incidence
 */
export function fresnelReflectance(input: { refractiveIndex: number; extinctionCoefficient: number }): number {
  requireInRange('refractiveIndex', input.refractiveIndex, 1e-3, 10)
  requireInRange('extinctionCoefficient', input.extinctionCoefficient, 0, 100)
  const absorption = input.extinctionCoefficient ** 2
  return ((input.refractiveIndex - 1) ** 2 + absorption) / ((input.refractiveIndex + 1) ** 2 + absorption)
}

/**
 * Current that a detector gives per watt of light.
 *
 *     S = QE q λ/(h c)
 *
 * @param input.quantumEfficiency  electrons per incident photon; 0 to 1
 * @param input.wavelengthNm  100 to 10000
 * @returns A/W
 * @throws {EngineError} `out-of-range`
 * @derived one charge per photon of energy h c/λ
 */
export function responsivityAmperePerWatt(input: { quantumEfficiency: number; wavelengthNm: number }): number {
  requireInRange('quantumEfficiency', input.quantumEfficiency, 0, 1)
  return input.quantumEfficiency * idealResponsivity(input.wavelengthNm)
}

/**
 * Quantum efficiency of a responsivity: the inverse of {@link responsivityAmperePerWatt}.
 *
 * @param input.amperePerWatt  at least 0
 * @param input.wavelengthNm  100 to 10000
 * @returns electrons per incident photon
 * @throws {EngineError} `out-of-range`
 * @derived one charge per photon of energy h c/λ
 */
export function quantumEfficiencyOfResponsivity(input: { amperePerWatt: number; wavelengthNm: number }): number {
  requireInRange('amperePerWatt', input.amperePerWatt, 0)
  return input.amperePerWatt / idealResponsivity(input.wavelengthNm)
}

/** Responsivity at QE = 1, A/W. */
function idealResponsivity(wavelengthNm: number): number {
  requireInRange('wavelengthNm', wavelengthNm, 100, 10000)
  const photonJoule = (PLANCK_JOULE_SECONDS.value * LIGHT_SPEED_METERS_PER_SECOND.value) / (wavelengthNm * 1e-9)
  return ELEMENTARY_CHARGE_COULOMBS.value / photonJoule
}
