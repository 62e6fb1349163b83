// Tables over wavelength: straight lines between the points, nothing outside the ends.

import { EngineError, requireInRange } from '../errors.ts'

/** One point of a table over wavelength. */
export interface CurvePoint {
  readonly wavelengthNm: number
  readonly value: number
}

/** A factor that is the same at every wavelength, or a table of it. */
export type NumberOrCurve = number | readonly CurvePoint[]

/** One straight piece of a curve. */
export interface CurveSegment {
  readonly fromNm: number
  readonly toNm: number
  readonly valueAtFrom: number
  readonly slopePerNm: number
}

/**
 * Straight pieces of a table. Two points at one wavelength make a step, which takes no piece.
 *
 * @param curve  points in order of wavelength
 * @returns pieces in order of wavelength
 * @derived linear interpolation
 */
export function curveSegments(curve: readonly CurvePoint[]): readonly CurveSegment[] {
  const segments: CurveSegment[] = []
  let before: CurvePoint | undefined
  for (const point of curve) {
    if (before !== undefined && point.wavelengthNm > before.wavelengthNm) {
      segments.push({
        fromNm: before.wavelengthNm,
        toNm: point.wavelengthNm,
        valueAtFrom: before.value,
        slopePerNm: (point.value - before.value) / (point.wavelengthNm - before.wavelengthNm),
      })
    }
    before = point
  }
  return segments
}

/**
 * Value of a curve at a wavelength, 0 outside its ends. At a step it is the value on the short side.
 *
 * @param segments  of the curve, from {@link curveSegments}
 * @param wavelengthNm  any
 * @returns value
 * @derived linear interpolation
 */
export function segmentsAt(segments: readonly CurveSegment[], wavelengthNm: number): number {
  const segment = segments.find(({ fromNm, toNm }) => wavelengthNm >= fromNm && wavelengthNm <= toNm)
  return segment === undefined ? 0 : segment.valueAtFrom + segment.slopePerNm * (wavelengthNm - segment.fromNm)
}

/**
 * Checks a factor of a system response.
 *
 * @param field  its name in a refusal
 * @param factor  a share, 0 to 1, or at least two points in order of wavelength with such shares
 * @returns nothing
 * @throws {EngineError} `out-of-range` for shares or wavelengths out of range or out of order, `not-enough-data` for
 *   a table of fewer than two points
 * @derived a share of light lies between none and all
 */
export function requireShare(field: string, factor: NumberOrCurve): void {
  if (typeof factor === 'number') {
    requireInRange(field, factor, 0, 1)
    return
  }
  if (factor.length < 2) {
    throw new EngineError('not-enough-data', `${field} has ${factor.length} points; a table needs at least two.`, {
      field,
      given: factor.length,
      allowed: 'at least 2 points',
    })
  }
  let shortestNm = 100
  for (const { wavelengthNm, value } of factor) {
    requireInRange(`${field}.wavelengthNm`, wavelengthNm, shortestNm, 10000)
    requireInRange(`${field}.value`, value, 0, 1)
    shortestNm = wavelengthNm
  }
}
