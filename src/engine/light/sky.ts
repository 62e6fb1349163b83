// A sky as the caller knows it, taken apart: natural light, lamps, Moon, each in V toward the target.

import { requireInRange } from '../errors.ts'
import { SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS } from './extinction.ts'
import type { LampShares } from './lamp-spectra.ts'
import { addMagnitudes, subtractMagnitudes } from './magnitudes.ts'
import type { Moon } from './moonlight.ts'
import { moonlightNanolamberts, moonModelAirmass } from './moonlight.ts'
import { AIRGLOW_SHARE, NATURAL_SKY_MAG_PER_ARCSEC2 } from './natural-sky.ts'
import { FAINTEST_NANOLAMBERTS, magPerArcsec2OfNanolamberts } from './sky-brightness.ts'
import { zenithDistanceMag } from './zenith-law.ts'

/** A sky. */
export interface Sky {
  /** V of the moonless zenith sky, all light together, mag/arcsec²; 0 to 30. */
  readonly moonlessMagPerArcsec2: number
  /** Parts of the artificial V flux by lamp, on any scale; at least one above 0, even where no lamp shines. */
  readonly lamps: LampShares
  /** 0 to 90. */
  readonly targetAltitudeDegrees: number
  /** In V; 0 to 5. */
  readonly extinctionMagPerAirmass: number
  readonly moon?: Moon | undefined
}

/** V mag/arcsec² of the parts of a sky toward the target; null for a part that adds nothing (moonlight: below 1e-12 nL). */
export interface SkyMagnitudes {
  readonly natural: number
  readonly artificial: number | null
  readonly moon: number | null
  /** Natural and artificial light together. */
  readonly moonlessTotal: number
  readonly total: number
}

/** Extinction in V to assume when none is given, see `SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS`. */
export const DEFAULT_EXTINCTION_MAG_PER_AIRMASS = SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS

/**
 * Brightness of the artificial part of a moonless zenith sky: what the natural 21.9 leaves of the total.
 *
 * @param moonlessMagPerArcsec2  V of the whole; 0 to 30
 * @returns V mag/arcsec², or null for a sky no brighter than the natural one
 * @throws {EngineError} `out-of-range`
 * @derived subtraction of fluxes
 */
export function artificialMagPerArcsec2(moonlessMagPerArcsec2: number): number | null {
  requireInRange('sky.moonlessMagPerArcsec2', moonlessMagPerArcsec2, 0, 30)
  if (moonlessMagPerArcsec2 >= NATURAL_SKY_MAG_PER_ARCSEC2) return null
  return subtractMagnitudes({ total: moonlessMagPerArcsec2, part: NATURAL_SKY_MAG_PER_ARCSEC2 })
}

/**
 * Magnitudes by which the natural sky differs toward the target from the zenith.
 *
 * @param sky  only its altitude and extinction count
 * @returns mag; negative is brighter
 * @throws {EngineError} `out-of-range`
 * @source Patat 2003, A&A 400, 1183, appendix C, with 0.6 of the sky from the airglow
 */
export function altitudeMag(sky: Pick<Sky, 'targetAltitudeDegrees' | 'extinctionMagPerAirmass'>): number {
  return zenithDistanceMag({
    airglowShare: AIRGLOW_SHARE.value,
    extinctionMagPerAirmass: sky.extinctionMagPerAirmass,
    airmass: moonModelAirmass(sky.targetAltitudeDegrees),
  })
}

/**
 * A sky in its parts, in V toward the target.
 *
 * The natural part brightens away from the zenith; the artificial part is kept as it is at the zenith, since no
 * simple law of its growth toward the horizon is published.
 *
 * @param sky  as the caller knows it
 * @returns V mag/arcsec² of each part, of the moonless sky and of all
 * @throws {EngineError} `out-of-range`
 * @source Patat 2003, A&A 400, 1183 (altitude); Krisciunas & Schaefer 1991, PASP 103, 1033 (Moon)
 */
export function skyMagnitudes(sky: Sky): SkyMagnitudes {
  const artificial = artificialMagPerArcsec2(sky.moonlessMagPerArcsec2)
  const atZenith = Math.max(sky.moonlessMagPerArcsec2, NATURAL_SKY_MAG_PER_ARCSEC2)
  const natural = atZenith + altitudeMag(sky)
  const moon = moonMagPerArcsec2(sky)
  const moonlessTotal = artificial === null ? natural : addMagnitudes([natural, artificial])
  return {
    natural,
    artificial,
    moon,
    moonlessTotal,
    total: moon === null ? moonlessTotal : addMagnitudes([moonlessTotal, moon]),
  }
}

/** V of scattered moonlight, or null when there is none or too little to be told from none. */
function moonMagPerArcsec2({ moon, targetAltitudeDegrees, extinctionMagPerAirmass }: Sky): number | null {
  if (moon === undefined) return null
  const brightness = moonlightNanolamberts({ moon, targetAltitudeDegrees, extinctionMagPerAirmass })
  return brightness < FAINTEST_NANOLAMBERTS ? null : magPerArcsec2OfNanolamberts(brightness)
}
