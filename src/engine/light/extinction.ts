// Extinction of starlight in clear air at one wavelength or in V: components by height, and measured sites.

import { requireInRange } from '../errors.ts'

const RAYLEIGH_SCALE_HEIGHT_KM = 7.996
const AEROSOL_SCALE_HEIGHT_KM = 1.5

/** Measured extinction in mag per airmass, interpolated linearly at the wavelengths that lead each column. */
export const SITE_EXTINCTION = {
  wavelengthsAngstrom: [3600, 4400, 4861, 5007, 5500, 6563, 6724],
  sites: [
    {
      site: 'Palomar',
      heightMeters: 1700,
      magPerAirmass: [0.585, 0.267, 0.19, 0.178, 0.153, 0.084, 0.08],
      source: 'Gunn, posted table of the observatory',
    },
    {
      site: 'Kitt Peak',
      heightMeters: 2120,
      magPerAirmass: [0.539, 0.262, 0.193, 0.179, 0.15, 0.095, 0.086],
      source: 'standard table of the observatory, in the open data set specreduce-data',
    },
    {
      site: 'Cerro Tololo',
      heightMeters: 2215,
      magPerAirmass: [0.561, 0.282, 0.209, 0.189, 0.146, 0.096, 0.078],
      source: 'Stone & Baldwin 1983',
    },
    {
      site: 'La Palma',
      heightMeters: 2396,
      magPerAirmass: [0.455, 0.199, 0.137, 0.124, 0.102, 0.054, 0.046],
      source: 'King 1985, Technical Note 31',
    },
    {
      site: 'Paranal',
      heightMeters: 2635,
      magPerAirmass: [0.491, 0.235, 0.171, 0.156, 0.13, 0.081, 0.068],
      source: 'Patat et al. 2011',
    },
    {
      site: 'Mauna Kea',
      heightMeters: 4160,
      magPerAirmass: [0.4, 0.185, 0.134, 0.125, 0.106, 0.062, 0.055],
      source: 'Buton et al. 2013',
    },
  ],
} as const

/**
 * Share of light that comes through.
 *
 *     T = 10^(-0.4 k X)
 *
 * @param input.extinctionMagPerAirmass  k; 0 to 20
 * @param input.airmass  X; 0 (above the atmosphere) to 40
 * @returns transmission; 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Bouguer's law, m = m₀ + k X
 */
export function transmittance(input: { extinctionMagPerAirmass: number; airmass: number }): number {
  requireInRange('extinctionMagPerAirmass', input.extinctionMagPerAirmass, 0, 20)
  requireInRange('airmass', input.airmass, 0, 40)
  return 10 ** (-0.4 * input.extinctionMagPerAirmass * input.airmass)
}

/**
 * Visual extinction of clear air by height, with its three causes.
 *
 *     rayleigh = 0.1451 exp(-h/7.996);  aerosol = 0.120 exp(-h/1.5);  ozone = 0.016
 *
 * @param heightKm  h above the sea; -0.5 to 9
 * @returns mag per airmass of each cause and of all
 * @throws {EngineError} `out-of-range`
 * @source Green 1992, International Comet Quarterly 14, 55
 */
export function visualExtinction(heightKm: number): {
  rayleigh: number
  aerosol: number
  ozone: number
  total: number
} {
  requireInRange('heightKm', heightKm, -0.5, 9)
  const rayleigh = 0.1451 * Math.exp(-heightKm / RAYLEIGH_SCALE_HEIGHT_KM)
  const aerosol = 0.12 * Math.exp(-heightKm / AEROSOL_SCALE_HEIGHT_KM)
  const ozone = 0.016
  return { rayleigh, aerosol, ozone, total: rayleigh + aerosol + ozone }
}

/** Extinction in V where the caller says nothing: clear air at sea level (Green 1992). */
export const SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS = visualExtinction(0).total

/**
 * Extinction by the molecules of the air.
 *
 *     k = 0.0094977 λ⁻⁴ n² exp(-h/7.996);  n = 0.23465 + 107.6/(146 - λ⁻²) + 0.93161/(41 - λ⁻²), λ in µm
 *
 * @param input.wavelengthNm  300 to 1100
 * @param input.heightKm  h above the sea; -0.5 to 9
 * @returns mag per airmass
 * @throws {EngineError} `out-of-range`
 * @source Hayes & Latham 1975, ApJ 197, 593
 */
export function rayleighExtinction(input: { wavelengthNm: number; heightKm: number }): number {
  requireInRange('wavelengthNm', input.wavelengthNm, 300, 1100)
  requireInRange('heightKm', input.heightKm, -0.5, 9)
  const waveNumber2 = (1000 / input.wavelengthNm) ** 2
  const index = 0.23465 + 107.6 / (146 - waveNumber2) + 0.93161 / (41 - waveNumber2)
  return 0.0094977 * waveNumber2 ** 2 * index ** 2 * Math.exp(-input.heightKm / RAYLEIGH_SCALE_HEIGHT_KM)
}
