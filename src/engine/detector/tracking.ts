// How fast the sky moves on a sensor that doesn't follow it, and how long a sub may be for an allowed trail.

import { SIDEREAL_DAY_SECONDS } from '../constants.ts'
import { requireInRange } from '../errors.ts'

const ARCSEC_PER_CIRCLE = 1296000

/** Rate at which the sky turns, 15.041 arcsec/s. */
export const SIDEREAL_ARCSEC_PER_SECOND = ARCSEC_PER_CIRCLE / SIDEREAL_DAY_SECONDS.value

/** Exactly 0 at ±90° and 270°, where floating point leaves a trace. */
function cosine(degrees: number): number {
  return Math.abs(degrees) % 180 === 90 ? 0 : Math.cos((degrees * Math.PI) / 180)
}

/**
 * Drift of a star over a mount that stands still.
 *
 *     ω cos δ
 *
 * @param declinationDegrees  δ, −90 to 90
 * @returns arcsec/s, 0 to 15.04
 * @throws {EngineError} `out-of-range`
 * @source Meeus, Astronomical Algorithms, ch. 13 (from memory)
 */
export function driftArcsecPerSecond(declinationDegrees: number): number {
  requireInRange('declinationDegrees', declinationDegrees, -90, 90)
  return SIDEREAL_ARCSEC_PER_SECOND * cosine(declinationDegrees)
}

/**
 * Rotation of the field on a driven alt-azimuth mount, the rate of the parallactic angle.
 *
 *     dq/dt = −ω cos φ cos A / cos h
 *
 * @param input.latitudeDegrees  φ, −90 to 90
 * @param input.azimuthDegrees  A from north through east, 0 to 360
 * @param input.altitudeDegrees  h, 0 to 89.9; without limit at the zenith
 * @returns arcsec/s of position angle, positive or negative
 * @throws {EngineError} `out-of-range`
 * @source Meeus, Astronomical Algorithms, ch. 14; SLALIB, SUN/67 (derivatives of the parallactic angle)
 */
export function fieldRotationArcsecPerSecond(input: {
  latitudeDegrees: number
  azimuthDegrees: number
  altitudeDegrees: number
}): number {
  const { latitudeDegrees, azimuthDegrees, altitudeDegrees } = input
  requireInRange('latitudeDegrees', latitudeDegrees, -90, 90)
  requireInRange('azimuthDegrees', azimuthDegrees, 0, 360)
  requireInRange('altitudeDegrees', altitudeDegrees, 0, 89.9)
  return (-SIDEREAL_ARCSEC_PER_SECOND * cosine(latitudeDegrees) * cosine(azimuthDegrees)) / cosine(altitudeDegrees)
}

/**
 * Trail that a rotation of the field leaves at a distance from its centre.
 *
 * @param input.rotationArcsecPerSecond  of position angle, up to 10⁶ either way
 * @param input.seconds  0 to 10⁹; with 1 the result is a rate
 * @param input.radiusPx  distance from the centre of the field, 0 to 10⁹
 * @returns pixels, ≥ 0
 * @throws {EngineError} `out-of-range`
 * @derived arc length: radius times angle
 */
export function rotationSmearPx(input: { rotationArcsecPerSecond: number; seconds: number; radiusPx: number }): number {
  const rate = Math.abs(input.rotationArcsecPerSecond)
  requireInRange('rotationArcsecPerSecond', rate, 0, 1e6)
  requireInRange('seconds', input.seconds, 0, 1e9)
  requireInRange('radiusPx', input.radiusPx, 0, 1e9)
  return ((rate * 2 * Math.PI) / ARCSEC_PER_CIRCLE) * input.seconds * input.radiusPx
}

/**
 * Longest sub whose trail stays within what is allowed.
 *
 * @param input.pxPerSecond  ≥ 0
 * @param input.allowedTrailPx  > 0
 * @returns seconds; null where nothing moves, or so slowly that the length is past reckoning
 * @throws {EngineError} `out-of-range`
 * @derived allowed trail over speed
 */
export function longestSecondsForTrail(input: { pxPerSecond: number; allowedTrailPx: number }): number | null {
  requireInRange('pxPerSecond', input.pxPerSecond, 0)
  requireInRange('allowedTrailPx', input.allowedTrailPx, Number.MIN_VALUE)
  const seconds = input.allowedTrailPx / input.pxPerSecond
  return Number.isFinite(seconds) ? seconds : null
}
