// The filter in front of an unmodified consumer camera's sensor, which takes most of H-alpha away.

import type { CurvePoint, NumberOrCurve } from './curve.ts'
import { requireShare } from './curve.ts'

/** No filter, the usual one of a photographic camera, or a measured table. */
export type InfraredBlocker = 'none' | 'photographic' | readonly CurvePoint[]

/** Transmission of a photographic camera's filter; 0.2 to 0.3 is met at H-alpha. Common practice, no source. */
export const PHOTOGRAPHIC_BLOCKER = {
  source: 'common practice, no source',
  table: [
    { wavelengthNm: 380, value: 0 },
    { wavelengthNm: 400, value: 0.6 },
    { wavelengthNm: 420, value: 0.95 },
    { wavelengthNm: 560, value: 0.95 },
    { wavelengthNm: 580, value: 0.9 },
    { wavelengthNm: 600, value: 0.75 },
    { wavelengthNm: 620, value: 0.55 },
    { wavelengthNm: 640, value: 0.37 },
    { wavelengthNm: 656.3, value: 0.25 },
    { wavelengthNm: 672.4, value: 0.15 },
    { wavelengthNm: 700, value: 0.04 },
    { wavelengthNm: 720, value: 0 },
  ],
} as const

/**
 * Transmission of an infrared blocker.
 *
 * @param blocker  by name, or a table of transmission, 0 to 1, taken as 0 outside its ends
 * @returns a factor of the response
 * @throws {EngineError} `out-of-range` or `not-enough-data` for a table that is none
 * @source common practice, no source
 */
export function blockerTransmission(blocker: InfraredBlocker): NumberOrCurve {
  if (blocker === 'none') return 1
  if (blocker === 'photographic') return PHOTOGRAPHIC_BLOCKER.table
  requireShare('infraredBlocker', blocker)
  return blocker
}
