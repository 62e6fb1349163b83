// What a sky puts on a detector, and the way back from a measured background to the sky's V magnitude. Extinction
// is not applied to a sky: its brightness is already that at the ground.

import { EngineError, requireInRange } from '../errors.ts'
import type { SkyIntegrals } from './band-integrals.ts'
import { moonlightIntegral, skyIntegrals } from './band-integrals.ts'
import type { LampShares } from './lamp-spectra.ts'
import { LAMP_NAMES } from './lamp-spectra.ts'
import { magnitudeOfRelativeFlux, relativeFlux } from './magnitudes.ts'
import { moonModelAirmass } from './moonlight.ts'
import { NATURAL_SKY_MAG_PER_ARCSEC2 } from './natural-sky.ts'
import type { Response } from './response.ts'
import type { Sky } from './sky.ts'
import { altitudeMag, skyMagnitudes } from './sky.ts'

/** Electrons s-1 m-2 arcsec-2 of the parts of a sky. */
export interface SkyElectrons {
  readonly natural: number
  readonly artificial: number
  readonly moon: number
}

/**
 * Electrons that a sky gives per area of aperture and of sky.
 *
 *     E = ∫ L(λ) R(λ) dλ + Σ rayleighs · R(λ)
 *
 * Darker than V = 21.9, everything natural but the geocorona is scaled down to the given brightness.
 *
 * @param input.response  of the system
 * @param input.sky  as the caller knows it
 * @returns electrons s-1 m-2 arcsec-2 of the natural, artificial and moonlit parts
 * @throws {EngineError} `out-of-range`
 * @derived spectra see `NATURAL_SKY_CONTINUUM`, `LAMP_SPECTRA`; V of the parts see `skyMagnitudes`
 */
export function skyElectrons({ response, sky }: { response: Response; sky: Sky }): SkyElectrons {
  const magnitudes = skyMagnitudes(sky)
  const integrals = skyIntegrals(response)
  const lamps = lampMixture(integrals, sky.lamps)
  const darkerMag = Math.max(0, sky.moonlessMagPerArcsec2 - NATURAL_SKY_MAG_PER_ARCSEC2)
  const airglowAndStars = (integrals.continuum + integrals.airglowLines) * relativeFlux(darkerMag)
  return {
    natural: (airglowAndStars + integrals.geocorona) * relativeFlux(altitudeMag(sky)),
    artificial: magnitudes.artificial === null ? 0 : lamps * relativeFlux(magnitudes.artificial),
    moon: moonElectrons(response, sky, magnitudes.moon),
  }
}

function moonElectrons(response: Response, sky: Sky, moonMag: number | null): number {
  const { moon } = sky
  if (moon === undefined || moonMag === null) return 0
  return (
    relativeFlux(moonMag) *
    moonlightIntegral({
      response,
      extinctionMagPerAirmass: sky.extinctionMagPerAirmass,
      airmass: moonModelAirmass(sky.targetAltitudeDegrees),
      moonAirmass: moonModelAirmass(moon.altitudeDegrees),
    })
  )
}

/** Electrons of an artificial sky of V = 0 from a mixture of lamps. */
function lampMixture(integrals: SkyIntegrals, lamps: LampShares): number {
  let shares = 0
  let electrons = 0
  for (const name of LAMP_NAMES) {
    const share = lamps[name]
    if (share === undefined) continue
    requireInRange(`sky.lamps.${name}`, share, 0, 1e6)
    shares += share
    electrons += share * integrals.lamps[name]
  }
  if (shares > 0) return electrons / shares
  throw new EngineError('out-of-range', 'No lamp has a share in sky.lamps.', {
    field: 'sky.lamps',
    given: shares,
    allowed: 'at least one share above 0',
  })
}

/**
 * V magnitude of the moonless zenith sky that gives a measured rate: the inverse of {@link skyElectrons} there.
 *
 * @param input.response  of the system that measured
 * @param input.electronsPerSecondM2Arcsec2  measured rate of the sky alone
 * @param input.lamps  what lights the haze, for a sky brighter than the natural one
 * @returns V mag/arcsec²; 0 to 30
 * @throws {EngineError} `no-solution` when the rate is no more than the geocorona gives, or no such sky is between
 *   0 and 30 mag/arcsec²
 * @derived the rate is linear in the flux of the lamps above V = 21.9, and in that of the natural light below it
 */
export function moonlessMagnitudeOf(input: {
  response: Response
  electronsPerSecondM2Arcsec2: number
  lamps: LampShares
}): number {
  const integrals = skyIntegrals(input.response)
  const rate = input.electronsPerSecondM2Arcsec2
  const lamps = lampMixture(integrals, input.lamps)
  const natural = integrals.continuum + integrals.airglowLines
  const naturalFlux = relativeFlux(NATURAL_SKY_MAG_PER_ARCSEC2)
  const above = rate - natural - integrals.geocorona
  const flux = above > 0 ? naturalFlux + above / lamps : (naturalFlux * (rate - integrals.geocorona)) / natural
  if (flux >= relativeFlux(30) && flux <= 1) return magnitudeOfRelativeFlux(flux)
  throw new EngineError('no-solution', `No sky gives this system ${rate} electrons per second, m² and arcsec².`, {
    field: 'electronsPerSecondM2Arcsec2',
    given: rate,
    facts: { naturalSkyRate: natural + integrals.geocorona, geocoronaRate: integrals.geocorona },
  })
}
