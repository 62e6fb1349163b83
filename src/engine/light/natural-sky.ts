// How bright the sky is without any lamp: measured at good sites, and put together from its parts.

import { requireInRange } from '../errors.ts'

/** V of the natural zenith sky that the composed spectrum stands for: 220 S10, rounded as published. */
export const NATURAL_SKY_MAG_PER_ARCSEC2 = 21.9

/** Broadband brightness of the moonless zenith sky, mag/arcsec²; null where nothing is published. */
export const DARK_SITES = [
  {
    site: 'La Palma, high ecliptic and galactic latitude, solar minimum',
    U: 22.0,
    B: 22.7,
    V: 21.9,
    R: 21.0,
    I: 20.0,
    source: 'Benn & Ellison 1998, La Palma Technical Note 115',
  },
  {
    site: 'Paranal, zenith-corrected mean, solar maximum 2000-01',
    U: 22.3,
    B: 22.6,
    V: 21.6,
    R: 20.9,
    I: 19.7,
    source: 'Patat 2003, A&A 400, 1183',
  },
  {
    site: 'Kitt Peak and Mount Hopkins 1998-99',
    U: null,
    B: 22.63,
    V: 21.45,
    R: null,
    I: null,
    source: 'Massey & Foltz 2000, PASP 112, 566',
  },
  {
    site: 'Mauna Kea 2800 m, 1985-96, darkest yearly mean',
    U: null,
    B: null,
    V: 21.906,
    R: null,
    I: null,
    source: 'Krisciunas 1997, PASP 109, 1181',
  },
  {
    site: 'Mauna Kea 2800 m, 1985-96, brightest yearly mean',
    U: null,
    B: null,
    V: 21.287,
    R: null,
    I: null,
    source: 'Krisciunas 1997, PASP 109, 1181',
  },
  {
    site: 'Mount Shatdzhatmaz, median',
    U: null,
    B: 22.1,
    V: 21.1,
    R: 20.3,
    I: 19.0,
    source: 'Kornilov et al. 2016, MNRAS 462, 4464',
  },
  { site: 'Cerro Tololo 1987-88', U: 22.0, B: 22.7, V: 21.8, R: 20.9, I: 19.9, source: 'Walker 1987/88 (from memory)' },
  { site: 'Calar Alto 1990', U: 22.2, B: 22.6, V: 21.5, R: 20.6, I: 18.7, source: 'Leinert et al. 1995 (from memory)' },
  { site: 'La Silla 1978', U: null, B: 22.8, V: 21.7, R: 20.8, I: 19.5, source: 'Mattila et al. 1996 (from memory)' },
] as const

/** Natural brightness that maps of artificial brightness count from, V mag/arcsec². */
export const MAP_REFERENCES = [
  {
    magPerArcsec2: 22.0,
    microcandelaPerSquareMeter: 174,
    source: 'Falchi et al. 2016, Science Advances 2, e1600377 (from memory)',
  },
  {
    magPerArcsec2: 21.6,
    microcandelaPerSquareMeter: 252,
    source: 'Cinzano, Falchi & Elvidge 2001, MNRAS 328, 689 (from memory)',
  },
] as const

/** What the dark zenith sky is made of in V, in S10, at solar minimum and toward the ecliptic pole. */
export const NATURAL_SKY_S10 = {
  airglow: 145,
  zodiacalLight: 60,
  scatteredStarlight: 15,
  source: 'after Roach & Gordon 1973 and Benn & Ellison 1998',
} as const

/** Stars fainter than V = 13 that a frame does not resolve add this much on average, S10. */
export const FAINT_STARS_S10 = {
  s10: 39.1,
  source: 'Roach & Gordon 1973, Table 2-I, quoted by Patat 2003, A&A 400, 1183',
} as const

/** Share of the dark zenith sky that is airglow, and so grows toward the horizon. */
export const AIRGLOW_SHARE = {
  value: 0.6,
  source: 'Patat 2003, A&A 400, 1183, appendix C',
} as const

/**
 * Brightness of the parts of the natural zenith sky, with the solar cycle and the ecliptic latitude.
 *
 *     airglow = 145 + 130 (S - 0.8)/1.2;  zodiacal light = 140 - 90 sin|β| below 60°, else 60;  starlight = 15
 *
 * @param input.solarFluxMegajansky  10.7 cm flux S; 0.8 (minimum) to 2.0 (maximum)
 * @param input.eclipticLatitudeDegrees  β; -90 to 90
 * @returns S10 of each part
 * @throws {EngineError} `out-of-range`
 * @source Benn & Ellison 1998, La Palma Technical Note 115 (formulas from memory)
 */
export function naturalSkyS10(input: { solarFluxMegajansky: number; eclipticLatitudeDegrees: number }): {
  airglow: number
  zodiacalLight: number
  scatteredStarlight: number
} {
  requireInRange('solarFluxMegajansky', input.solarFluxMegajansky, 0.8, 2)
  requireInRange('eclipticLatitudeDegrees', input.eclipticLatitudeDegrees, -90, 90)
  const latitude = Math.abs(input.eclipticLatitudeDegrees)
  return {
    airglow: NATURAL_SKY_S10.airglow + (130 * (input.solarFluxMegajansky - 0.8)) / 1.2,
    zodiacalLight: latitude < 60 ? 140 - 90 * Math.sin((latitude * Math.PI) / 180) : NATURAL_SKY_S10.zodiacalLight,
    scatteredStarlight: NATURAL_SKY_S10.scatteredStarlight,
  }
}
