// What a source of magnitude zero puts above the atmosphere, band by band, and the AB system.
// Published zero points disagree by 1 to 3 %. Rates in this service rest on ZERO_POINTS (V = 0 is
// 995.5 photons/s/cm²/Å); the other tables are carried so that the difference can be seen.

import { LIGHT_SPEED_METERS_PER_SECOND, PLANCK_JOULE_SECONDS } from '../constants.ts'
import { magnitudeOfRelativeFlux, relativeFlux } from './magnitudes.ts'

/** Vega-type zero points of the Johnson-Cousins bands: the set this service uses. */
export const ZERO_POINTS = {
  source:
    'Bessell, Castelli & Plez 1998, A&A 333, 231, Table A2, as tabulated with photon rates and widths in Martini, Useful Astronomical Data',
  bands: {
    U: {
      effectiveAngstrom: 3600,
      widthAngstrom: 600,
      jansky: 1790,
      ergPerSecondCm2Angstrom: 417.5e-11,
      photonsPerSecondCm2Angstrom: 756.1,
    },
    B: {
      effectiveAngstrom: 4380,
      widthAngstrom: 900,
      jansky: 4063,
      ergPerSecondCm2Angstrom: 632.0e-11,
      photonsPerSecondCm2Angstrom: 1392.6,
    },
    V: {
      effectiveAngstrom: 5450,
      widthAngstrom: 850,
      jansky: 3636,
      ergPerSecondCm2Angstrom: 363.1e-11,
      photonsPerSecondCm2Angstrom: 995.5,
    },
    R: {
      effectiveAngstrom: 6410,
      widthAngstrom: 1500,
      jansky: 3064,
      ergPerSecondCm2Angstrom: 217.7e-11,
      photonsPerSecondCm2Angstrom: 702.0,
    },
    I: {
      effectiveAngstrom: 7980,
      widthAngstrom: 1500,
      jansky: 2416,
      ergPerSecondCm2Angstrom: 112.6e-11,
      photonsPerSecondCm2Angstrom: 452.0,
    },
  },
} as const

/** An older calibration, still met in textbooks. */
export const ZERO_POINTS_1979 = {
  source: 'Bessell 1979, PASP 91, 589, as tabulated in Huchra, course page on magnitudes',
  bands: {
    U: { effectiveAngstrom: 3600, relativeWidth: 0.15, jansky: 1810 },
    B: { effectiveAngstrom: 4400, relativeWidth: 0.22, jansky: 4260 },
    V: { effectiveAngstrom: 5500, relativeWidth: 0.16, jansky: 3640 },
    R: { effectiveAngstrom: 6400, relativeWidth: 0.23, jansky: 3080 },
    I: { effectiveAngstrom: 7900, relativeWidth: 0.19, jansky: 2550 },
  },
} as const

/** AB minus Vega-type magnitude in each band, as four sources have it. The sign in V hangs on the magnitude of Vega. */
export const AB_MINUS_VEGA_MAG = [
  {
    source: 'Blanton & Roweis 2007, AJ 133, 734, Table 1 (from memory); Vega is 0',
    U: 0.79,
    B: -0.09,
    V: 0.02,
    R: 0.21,
    I: 0.45,
  },
  {
    source: 'Deep Lens Survey calibration, Landolt bands, Kurucz 1993 model',
    U: 1.0,
    B: -0.09,
    V: 0,
    R: 0.18,
    I: 0.46,
  },
  { source: 'computed: Bessell 1990 passbands, CALSPEC alpha_lyr_stis_011', U: 0.79, B: -0.12, V: 0, R: 0.19, I: 0.44 },
  { source: 'Frei & Gunn 1994, AJ 108, 1476; V of Vega is 0.03', B: -0.163, V: -0.044, R: 0.117, I: 0.342 },
] as const

/** Sloan-type bands: photon rate at AB = 0. */
export const AB_BANDS = {
  source: 'Fukugita et al. 1996, AJ 111, 1748, as tabulated in Martini, Useful Astronomical Data',
  bands: {
    u: { effectiveAngstrom: 3560, widthAngstrom: 463, photonsPerSecondCm2Angstrom: 1539.3 },
    g: { effectiveAngstrom: 4830, widthAngstrom: 988, photonsPerSecondCm2Angstrom: 1134.6 },
    r: { effectiveAngstrom: 6260, widthAngstrom: 955, photonsPerSecondCm2Angstrom: 875.4 },
    i: { effectiveAngstrom: 7670, widthAngstrom: 1064, photonsPerSecondCm2Angstrom: 714.5 },
    z: { effectiveAngstrom: 9100, widthAngstrom: 1248, photonsPerSecondCm2Angstrom: 602.2 },
  },
} as const

/** Flux density of AB = 0, in Jy. */
export const AB_ZERO_JANSKY = 3631

/** 1 Jy in W m-2 Hz-1. */
const JANSKY = 1e-26
const ERG = 1e-7
const ANGSTROM_METERS = 1e-10
const CM2_PER_M2 = 1e4

/**
 * V = 0 as a photon rate: 995.5 photons/s/cm²/Å, in the units of the integrals of this folder.
 *
 * Photons s-1 m-2 nm-1 (per arcsec² when the magnitude is per arcsec²).
 */
export const V_ZERO_PHOTONS_PER_SECOND_M2_NM = ZERO_POINTS.bands.V.photonsPerSecondCm2Angstrom * CM2_PER_M2 * 10

/**
 * Photon rate of an energy flux.
 *
 *     Φ = f_λ λ / (h c)
 *
 * @param input.ergPerSecondCm2Angstrom  energy flux density; at least 0
 * @param input.wavelengthAngstrom  above 0
 * @returns photons s-1 cm-2 Å-1
 * @derived energy of one photon, h c / λ
 */
export function photonsPerSecondCm2Angstrom(input: {
  ergPerSecondCm2Angstrom: number
  wavelengthAngstrom: number
}): number {
  const photonJoule =
    (PLANCK_JOULE_SECONDS.value * LIGHT_SPEED_METERS_PER_SECOND.value) / (input.wavelengthAngstrom * ANGSTROM_METERS)
  return (input.ergPerSecondCm2Angstrom * ERG) / photonJoule
}

/**
 * Photons that a source of a given magnitude sends through a band, above the atmosphere.
 *
 *     N = Φ₀ Δλ 10^(-0.4 m)
 *
 * @param input.photonsPerSecondCm2Angstrom  zero point of the band
 * @param input.widthAngstrom  width of the band
 * @param input.magnitude  in mag, or mag/arcsec² for a radiance
 * @returns photons s-1 m-2 (arcsec-2 for a radiance)
 * @source Bessell, Castelli & Plez 1998, A&A 333, 231
 */
export function bandPhotonsPerSecondM2(input: {
  photonsPerSecondCm2Angstrom: number
  widthAngstrom: number
  magnitude: number
}): number {
  return input.photonsPerSecondCm2Angstrom * input.widthAngstrom * CM2_PER_M2 * relativeFlux(input.magnitude)
}

/**
 * Photon rate of a flux density in jansky.
 *
 *     N = f_ν / h, per unit of ln λ
 *
 * @param jansky  flux density; at least 0
 * @returns photons s-1 m-2 per unit of ln λ: multiply by Δλ/λ for a band
 * @source Oke & Gunn 1983, ApJ 266, 713 (from memory)
 */
export function photonsPerSecondM2OfJansky(jansky: number): number {
  return (jansky * JANSKY) / PLANCK_JOULE_SECONDS.value
}

/**
 * Flux density per wavelength of a flux density per frequency.
 *
 *     f_λ = f_ν c / λ²
 *
 * @param input.jansky  flux density; at least 0
 * @param input.wavelengthAngstrom  above 0
 * @returns erg s-1 cm-2 Å-1
 * @derived change of variable from ν to λ
 */
export function ergPerSecondCm2AngstromOfJansky(input: { jansky: number; wavelengthAngstrom: number }): number {
  const meters = input.wavelengthAngstrom * ANGSTROM_METERS
  const wattPerM2Meter = (input.jansky * JANSKY * LIGHT_SPEED_METERS_PER_SECOND.value) / (meters * meters)
  return (wattPerM2Meter * ANGSTROM_METERS) / (ERG * CM2_PER_M2)
}

/**
 * AB magnitude by its first definition.
 *
 *     m_AB = -2.5 log10 f_ν - 48.60
 *
 * @param ergPerSecondCm2Hz  flux density; above 0
 * @returns AB magnitude
 * @throws {EngineError} `no-solution` for a flux that is not positive
 * @source Oke & Gunn 1983, ApJ 266, 713 (from memory)
 */
export function abMagnitude(ergPerSecondCm2Hz: number): number {
  return magnitudeOfRelativeFlux(ergPerSecondCm2Hz) - 48.6
}

/**
 * AB magnitude of a photon rate, with 3631 Jy as zero.
 *
 *     m_AB = -2.5 log10 (N h λ / 3631 Jy)
 *
 * @param input.photonsPerSecondCm2Angstrom  N; above 0 (per arcsec² for a radiance)
 * @param input.wavelengthAngstrom  above 0
 * @returns AB magnitude (per arcsec² for a radiance)
 * @throws {EngineError} `no-solution` for a rate that is not positive
 * @derived f_ν = N h λ
 */
export function abMagnitudeOfPhotons(input: {
  photonsPerSecondCm2Angstrom: number
  wavelengthAngstrom: number
}): number {
  return magnitudeOfRelativeFlux(input.photonsPerSecondCm2Angstrom / photonsOfAbMagnitude({ ...input, abMagnitude: 0 }))
}

/**
 * Photon rate of an AB magnitude: the inverse of {@link abMagnitudeOfPhotons}.
 *
 *     N = 3631 Jy · 10^(-0.4 m_AB) / (h λ)
 *
 * @param input.abMagnitude  in mag, or mag/arcsec² for a radiance
 * @param input.wavelengthAngstrom  above 0
 * @returns photons s-1 cm-2 Å-1 (arcsec-2 for a radiance)
 * @derived f_ν = N h λ
 */
export function photonsOfAbMagnitude(input: { abMagnitude: number; wavelengthAngstrom: number }): number {
  const perLogWavelength = photonsPerSecondM2OfJansky(AB_ZERO_JANSKY) * relativeFlux(input.abMagnitude)
  return perLogWavelength / input.wavelengthAngstrom / CM2_PER_M2
}
