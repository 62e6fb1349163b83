// Airmass: how many zenith atmospheres the light crosses. Kasten & Young and Pickering hold to the horizon;
// the thin layer is the airmass of Krisciunas & Schaefer's sky model and must not be mixed with the other two.

import { requireInRange } from '../errors.ts'

const RADIANS_PER_DEGREE = Math.PI / 180

/** The constant of {@link layerAirmass} that Krisciunas & Schaefer 1991 use: a layer at 130 km. */
export const KRISCIUNAS_SCHAEFER_LAYER = 0.96

/**
 * Airmass of the clear atmosphere.
 *
 *     X = 1/(cos z + 0.50572 (96.07995 - z)^-1.6364)
 *
 * @param zenithDistanceDegrees  z, apparent; 0 to 90
 * @returns airmasses; 0.9997 at the zenith, 37.92 at the horizon
 * @throws {EngineError} `out-of-range`
 * @source Kasten & Young 1989, Applied Optics 28, 4735
 */
export function kastenYoungAirmass(zenithDistanceDegrees: number): number {
  requireInRange('zenithDistanceDegrees', zenithDistanceDegrees, 0, 90)
  const cosine = Math.cos(zenithDistanceDegrees * RADIANS_PER_DEGREE)
  return 1 / (cosine + 0.50572 * (96.07995 - zenithDistanceDegrees) ** -1.6364)
}

/**
 * Airmass of the clear atmosphere, by altitude.
 *
 *     X = 1/sin(a + 244/(165 + 47 a^1.1))
 *
 * @param altitudeDegrees  a, apparent; 0 to 90
 * @returns airmasses; 1.0000 at the zenith, 38.75 at the horizon
 * @throws {EngineError} `out-of-range`
 * @source Pickering 2002, DIO 12, 3
 */
export function pickeringAirmass(altitudeDegrees: number): number {
  requireInRange('altitudeDegrees', altitudeDegrees, 0, 90)
  return 1 / Math.sin((altitudeDegrees + 244 / (165 + 47 * altitudeDegrees ** 1.1)) * RADIANS_PER_DEGREE)
}

/**
 * Path through a thin layer high above the ground, such as the airglow.
 *
 *     X = (1 - q sin² z)^-1/2
 *
 * @param input.zenithDistanceDegrees  z; 0 to 90
 * @param input.layer  q = (R/(R+H))² of the layer, see {@link layerConstant}; 0 to below 1
 * @returns path in units of that at the zenith; 1 at the zenith, 5 at the horizon for q = 0.96
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033; form after van Rhijn 1921 (from memory)
 */
export function layerAirmass(input: { zenithDistanceDegrees: number; layer: number }): number {
  requireInRange('zenithDistanceDegrees', input.zenithDistanceDegrees, 0, 90)
  requireInRange('layer', input.layer, 0, 0.9999)
  const sine = Math.sin(input.zenithDistanceDegrees * RADIANS_PER_DEGREE)
  return 1 / Math.sqrt(1 - input.layer * sine * sine)
}

/**
 * The constant q of {@link layerAirmass} for a layer at a given height.
 *
 *     q = (R/(R + H))²
 *
 * @param input.heightKm  H; 1 to 1000
 * @param input.earthRadiusKm  R; 6000 to 7000
 * @returns q; below 1
 * @throws {EngineError} `out-of-range`
 * @source van Rhijn 1921 (from memory)
 */
export function layerConstant(input: { heightKm: number; earthRadiusKm: number }): number {
  requireInRange('heightKm', input.heightKm, 1, 1000)
  requireInRange('earthRadiusKm', input.earthRadiusKm, 6000, 7000)
  return (input.earthRadiusKm / (input.earthRadiusKm + input.heightKm)) ** 2
}
