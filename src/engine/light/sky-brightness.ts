// Units of sky brightness. Two conventions tie V magnitudes to light: 10.8e4 cd/m² at 0 mag/arcsec², and the
// nanolambert form of Krisciunas & Schaefer. They differ by 0.4 %, so each is used only where its source uses it.

import { requireInRange } from '../errors.ts'
import { magnitudeOfRelativeFlux, relativeFlux } from './magnitudes.ts'

/** Luminance of 0 mag/arcsec², in cd/m²: a zero-magnitude illuminance of 2.54e-6 lx spread over one arcsec². */
export const ZERO_MAGNITUDE_CANDELA_PER_SQUARE_METER = 10.8e4

/** Illuminance by a star of magnitude 0, in lx (Allen 1973, from memory). */
export const ZERO_MAGNITUDE_LUX = 2.54e-6

/** Magnitude of one tenth-magnitude star per square degree (S10), per arcsec²; 10 + 2.5 log10(3600²), rounded. */
export const S10_MAG_PER_ARCSEC2 = 27.78

/** Darker than this, in nL, is no light: twelve orders below the darkest sky. */
export const FAINTEST_NANOLAMBERTS = 1e-12

const NANOLAMBERT_SCALE = 34.08
const NANOLAMBERT_OFFSET = 20.7233
const NANOLAMBERT_SLOPE = 0.92104

/**
 * Luminance of a sky.
 *
 *     L = 10.8e4 · 10^(-0.4 m)
 *
 * @param magPerArcsec2  V mag/arcsec²; -30 to 40
 * @returns cd/m²
 * @throws {EngineError} `out-of-range`
 * @source common convention, from a zero-magnitude illuminance of 2.54e-6 lx (Allen 1973, from memory)
 */
export function candelaPerSquareMeter(magPerArcsec2: number): number {
  requireInRange('magPerArcsec2', magPerArcsec2, -30, 40)
  return ZERO_MAGNITUDE_CANDELA_PER_SQUARE_METER * relativeFlux(magPerArcsec2)
}

/**
 * Sky brightness of a luminance: the inverse of {@link candelaPerSquareMeter}.
 *
 * @param luminance  cd/m²; above 0
 * @returns V mag/arcsec²
 * @throws {EngineError} `no-solution` for a luminance that is not positive
 * @source common convention, from a zero-magnitude illuminance of 2.54e-6 lx (Allen 1973, from memory)
 */
export function magPerArcsec2OfCandela(luminance: number): number {
  return magnitudeOfRelativeFlux(luminance / ZERO_MAGNITUDE_CANDELA_PER_SQUARE_METER)
}

/**
 * Sky brightness in nanolamberts.
 *
 *     B = 34.08 exp(20.7233 - 0.92104 V)
 *
 * @param magPerArcsec2  V mag/arcsec²; -30 to 40
 * @returns nL
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 1
 */
export function nanolamberts(magPerArcsec2: number): number {
  requireInRange('magPerArcsec2', magPerArcsec2, -30, 40)
  return NANOLAMBERT_SCALE * Math.exp(NANOLAMBERT_OFFSET - NANOLAMBERT_SLOPE * magPerArcsec2)
}

/**
 * V magnitude of a brightness in nanolamberts: the inverse of {@link nanolamberts}.
 *
 * @param brightness  nL; at least 1e-12
 * @returns V mag/arcsec²
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 1
 */
export function magPerArcsec2OfNanolamberts(brightness: number): number {
  requireInRange('brightness', brightness, FAINTEST_NANOLAMBERTS)
  return (NANOLAMBERT_OFFSET - Math.log(brightness / NANOLAMBERT_SCALE)) / NANOLAMBERT_SLOPE
}

/**
 * Luminance of a brightness in nanolamberts.
 *
 * @param brightness  nL
 * @returns cd/m²
 * @source definition of the lambert: 1/π cd/cm²
 */
export function candelaPerSquareMeterOfNanolamberts(brightness: number): number {
  return (brightness * 1e-5) / Math.PI
}

/**
 * V magnitude of a brightness in S10, the light of tenth-magnitude stars per square degree.
 *
 *     V = 27.78 - 2.5 log10 S10
 *
 * @param s10  above 0
 * @returns V mag/arcsec²
 * @throws {EngineError} `no-solution` for a brightness that is not positive
 * @source Roach & Gordon 1973 (from memory): the definition of the unit
 */
export function magPerArcsec2OfS10(s10: number): number {
  return S10_MAG_PER_ARCSEC2 + magnitudeOfRelativeFlux(s10)
}
