// Spectrum of the natural moonless zenith sky at V = 21.9: zodiacal light and scattered starlight with the Sun's
// spectrum, a flat airglow continuum, and the airglow's lines. It reproduces B = 22.8, V = 21.92 and, with the OH
// bands as a flat continuum, R = 21.0. Uncertain by about 30 %. Single OH lines, some of them near H-alpha, are
// not in it.

import { RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 } from './emission-lines.ts'
import type { StepSpectrum } from './spectrum.ts'
import { stepSpectrum } from './spectrum.ts'

/** Continuum in R/Å, means over bins of 200 Å from 4000 Å on and over windows. */
export const NATURAL_SKY_CONTINUUM = {
  source:
    'composed from Roach & Gordon 1973 (zodiacal light 60, starlight 15, airglow 145 S10), CALSPEC solar spectrum, ' +
    'Benn & Ellison 1998 for B, V, R',
  binMeans: [0.566, 0.568, 0.623, 0.641, 0.642, 0.643, 0.656, 0.664, 0.673, 0.677, 0.675, 0.674, 0.664, 0.666, 0.658],
  windowMeans: [
    { centerAngstrom: 4861, widthAngstrom: 70, mean: 0.631 },
    { centerAngstrom: 5007, widthAngstrom: 70, mean: 0.643 },
    { centerAngstrom: 5007, widthAngstrom: 30, mean: 0.639 },
    { centerAngstrom: 6563, widthAngstrom: 70, mean: 0.654 },
    { centerAngstrom: 6563, widthAngstrom: 30, mean: 0.644 },
    { centerAngstrom: 6724, widthAngstrom: 70, mean: 0.665 },
  ],
} as const

/** OH bands smeared out flat; published for 6800 to 9200 Å, held to 11000 Å as an extrapolation. */
export const OH_CONTINUUM = {
  rayleighsPerAngstrom: 2.29,
  fromNm: 680,
  source: 'fixed by R = 21.0 of Benn & Ellison 1998',
} as const

/** Lines of the airglow, in rayleighs. The sodium pair is 50 R together, split equally. */
export const AIRGLOW_LINES = [
  { airNm: 557.734, rayleighs: 250, source: 'Leinert et al. 1998, A&AS 127, 1 (from memory)' },
  { airNm: 588.995, rayleighs: 25, source: 'Benn & Ellison 1998 (from memory)' },
  { airNm: 589.592, rayleighs: 25, source: 'Benn & Ellison 1998 (from memory)' },
  { airNm: 630.0304, rayleighs: 150, source: 'Leinert et al. 1998, A&AS 127, 1 (from memory)' },
  { airNm: 636.378, rayleighs: 50, source: 'a third of 6300 Å, by transition probabilities (from memory)' },
] as const

/** H-alpha of the geocorona, in front of every target; 1 to 10 R, of which 5 is a choice. */
export const GEOCORONA = {
  airNm: 656.28,
  rayleighs: 5,
  source: 'geocoronal data description, Kitt Peak: 1 to 10 R',
} as const

/** Continuum with the OH bands, photons s-1 m-2 nm-1 arcsec-2; outside 400 to 700 nm an extrapolation. */
export const NATURAL_SKY_SPECTRUM: StepSpectrum = stepSpectrum(NATURAL_SKY_CONTINUUM).map((step) => {
  const rayleighsPerAngstrom = step.value + (step.fromNm >= OH_CONTINUUM.fromNm ? OH_CONTINUUM.rayleighsPerAngstrom : 0)
  return { ...step, value: rayleighsPerAngstrom * 10 * RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 }
})
