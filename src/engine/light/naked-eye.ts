// Naked-eye limiting magnitude and sky brightness, for a typical observer at the zenith. Observers differ by a
// magnitude, and the relation saturates at 7.93: a limit is a poor light meter.

import { EngineError, requireInRange } from '../errors.ts'

/** The limit that the relation tends to under a sky without any light. */
export const FAINTEST_NAKED_EYE_LIMIT_MAG = 7.93

const SKY_CONSTANT = 4.316

/**
 * Faintest star seen with the naked eye.
 *
 *     limit = 7.93 - 5 log10(10^(4.316 - m/5) + 1)
 *
 * @param magPerArcsec2  V of the zenith sky; 0 to 30
 * @returns limiting magnitude; below 7.93
 * @throws {EngineError} `out-of-range`
 * @source Schaefer 1990, PASP 102, 212, as widely restated
 */
export function nakedEyeLimitMag(magPerArcsec2: number): number {
  requireInRange('magPerArcsec2', magPerArcsec2, 0, 30)
  return FAINTEST_NAKED_EYE_LIMIT_MAG - 5 * Math.log10(10 ** (SKY_CONSTANT - magPerArcsec2 / 5) + 1)
}

/**
 * Sky brightness in which a given star is the faintest seen: the inverse of {@link nakedEyeLimitMag}.
 *
 *     m = 5 (4.316 - log10(10^((7.93 - limit)/5) - 1))
 *
 * @param limitMag  naked-eye limit; -14 to below 7.93
 * @returns V mag/arcsec² of the zenith sky
 * @throws {EngineError} `no-solution` at 7.93 and beyond, `out-of-range` below -14
 * @source Schaefer 1990, PASP 102, 212, as widely restated
 */
export function magPerArcsec2OfNakedEyeLimit(limitMag: number): number {
  if (limitMag >= FAINTEST_NAKED_EYE_LIMIT_MAG) {
    throw new EngineError('no-solution', `No sky gives a naked-eye limit of ${limitMag}; the relation ends at 7.93.`, {
      field: 'nakedEyeLimitMag',
      given: limitMag,
      allowed: 'below 7.93',
    })
  }
  requireInRange('nakedEyeLimitMag', limitMag, -14)
  return 5 * (SKY_CONSTANT - Math.log10(10 ** ((FAINTEST_NAKED_EYE_LIMIT_MAG - limitMag) / 5) - 1))
}
