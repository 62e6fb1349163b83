// Photon spectra of what lights the haze, and of the Sun for zodiacal light, moonlight and stars. Discharge lines
// are smeared over the 5 nm steps of the standard, so a filter of 3 nm between two lines sees less than told here.

import { V_ZERO_PHOTONS_PER_SECOND_M2_NM } from './zero-points.ts'
import type { StepSpectrum } from './spectrum.ts'
import { spectrumMean, stepSpectrum } from './spectrum.ts'

/** Lamps, named for what they are; the label of the standard illuminant is in {@link LAMP_SPECTRA}. */
export type LampName =
  'high-pressure-sodium' | 'metal-halide-warm' | 'metal-halide-cold' | 'led-3000k' | 'led-4100k' | 'led-6600k'

/** Parts of the artificial V flux by lamp; any positive scale. */
export type LampShares = Partial<Record<LampName, number>>

/** What lights a sky when the caller does not know. */
export const DEFAULT_LAMP_SHARES = {
  'high-pressure-sodium': 0.3,
  'led-3000k': 0.3,
  'led-4100k': 0.4,
} as const satisfies LampShares

/** The Sun, in 995.5 · 10^(-0.4 m_V) photons s-1 cm-2 Å-1 (arcsec-2), with windows in which its own absorption lines show. */
export const SUN_SPECTRUM = {
  source: 'CALSPEC sun_reference_stis, through Bessell 1990 V, tied to Vega at 0.03',
  binMeans: [
    0.728, 0.733, 0.912, 0.968, 0.974, 0.976, 1.019, 1.045, 1.073, 1.086, 1.078, 1.075, 1.044, 1.05, 1.026, 1.002,
    0.988, 0.97, 0.951,
  ],
  windowMeans: [
    { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.937 },
    { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.976 },
    { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.962 },
    { centerAngstrom: 6563, widthAngstrom: 70, mean: 1.013 },
    { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.98 },
    { centerAngstrom: 6724, widthAngstrom: 70, mean: 1.047 },
  ],
} as const

/** The lamps, in the unit of {@link SUN_SPECTRUM} times arcsec-2: means over bins of 200 Å from 4000 Å on and over windows. Above 7800 Å there are no data. */
export const LAMP_SPECTRA = {
  'high-pressure-sodium': {
    source: 'CIE 015:2018, illuminant HP1, through Bessell 1990 V',
    binMeans: [
      0.059, 0.094, 0.124, 0.178, 0.223, 0.214, 0.041, 0.211, 2.163, 4.802, 2.275, 0.748, 0.484, 0.41, 0.219, 0.164,
      0.151, 0.157, 0.485,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.034 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.674 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.821 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.442 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.444 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.437 },
    ],
  },
  'metal-halide-warm': {
    source: 'CIE 015:2018, illuminant HP3, through Bessell 1990 V',
    binMeans: [
      0.315, 0.384, 0.331, 0.352, 0.345, 0.445, 1.283, 0.881, 0.896, 1.966, 1.867, 1.087, 0.901, 0.813, 0.565, 0.387,
      0.352, 0.384, 0.36,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.302 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.443 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.449 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.941 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.955 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.819 },
    ],
  },
  'metal-halide-cold': {
    source: 'CIE 015:2018, illuminant HP5, through Bessell 1990 V',
    binMeans: [
      0.458, 0.608, 0.546, 0.641, 0.616, 0.742, 1.1, 0.904, 1.087, 1.707, 1.302, 1.055, 0.958, 1.118, 0.85, 0.478, 0.4,
      0.51, 0.561,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.571 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.734 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.725 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.973 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.972 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 1.252 },
    ],
  },
  'led-3000k': {
    source: 'CIE 015:2018, illuminant LED-B2, through Bessell 1990 V',
    binMeans: [
      0.01, 0.13, 0.586, 0.381, 0.345, 0.562, 0.795, 1.069, 1.377, 1.645, 1.755, 1.617, 1.296, 0.925, 0.606, 0.373,
      0.221, 0.13, 0.078,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.31 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.452 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.452 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 1.177 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 1.177 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.88 },
    ],
  },
  'led-4100k': {
    source: 'CIE 015:2018, illuminant LED-B3, through Bessell 1990 V',
    binMeans: [
      0.022, 0.311, 0.987, 0.435, 0.477, 0.75, 0.927, 1.106, 1.263, 1.37, 1.37, 1.195, 0.905, 0.612, 0.382, 0.226,
      0.129, 0.073, 0.041,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.416 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.64 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.641 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.807 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.807 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.577 },
    ],
  },
  'led-6600k': {
    source: 'CIE 015:2018, illuminant LED-B5, through Bessell 1990 V',
    binMeans: [
      0.031, 0.416, 1.68, 0.854, 0.467, 0.76, 1.082, 1.215, 1.233, 1.158, 0.998, 0.781, 0.562, 0.377, 0.244, 0.153,
      0.094, 0.059, 0.037,
    ],
    windowMeans: [
      { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.438 },
      { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.574 },
      { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.572 },
      { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.497 },
      { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.497 },
      { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.356 },
    ],
  },
} as const

/** Names of all lamps. */
export const LAMP_NAMES = Object.keys(LAMP_SPECTRA) as readonly LampName[]

/** Spectrum of each lamp as steps; 300 to 400 nm and 780 to 1100 nm are held values. */
export const LAMP_STEPS: Readonly<Record<LampName, StepSpectrum>> = {
  'high-pressure-sodium': stepSpectrum(LAMP_SPECTRA['high-pressure-sodium']),
  'metal-halide-warm': stepSpectrum(LAMP_SPECTRA['metal-halide-warm']),
  'metal-halide-cold': stepSpectrum(LAMP_SPECTRA['metal-halide-cold']),
  'led-3000k': stepSpectrum(LAMP_SPECTRA['led-3000k']),
  'led-4100k': stepSpectrum(LAMP_SPECTRA['led-4100k']),
  'led-6600k': stepSpectrum(LAMP_SPECTRA['led-6600k']),
}

/** Spectrum of the Sun as steps; 300 to 400 nm and 780 to 1100 nm are held values. */
export const SUN_STEPS: StepSpectrum = stepSpectrum(SUN_SPECTRUM)

const V_BOX_NM = { fromNm: 502.5, toNm: 587.5 } as const

/**
 * A solar-coloured source of V = 0, photons s-1 m-2 nm-1: scaled so that its mean over the 850 Å box of the V zero
 * point is exactly that zero point. The table itself is tied to a newer Vega and reads some 5 % more there.
 */
export const SOLAR_V_ZERO_SPECTRUM: StepSpectrum = SUN_STEPS.map((step) => ({
  ...step,
  value: (V_ZERO_PHOTONS_PER_SECOND_M2_NM * step.value) / spectrumMean({ spectrum: SUN_STEPS, ...V_BOX_NM }),
}))
