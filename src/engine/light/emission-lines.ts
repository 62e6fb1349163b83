// Emission lines, their wavelengths in air and vacuum, and the rayleigh, the unit of their surface brightness.

import { ARCSEC_PER_RADIAN, LIGHT_SPEED_METERS_PER_SECOND, PLANCK_JOULE_SECONDS } from '../constants.ts'
import { requireInRange } from '../errors.ts'

/** Photons s-1 m-2 arcsec-2 of one rayleigh, 1e10/4π photons s-1 m-2 sr-1. */
export const RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 = 1e10 / (4 * Math.PI) / ARCSEC_PER_RADIAN.value ** 2

/** Wavelengths in air, Å. */
export const EMISSION_LINES = {
  source: 'NIST and Osterbrock & Ferland (from memory); 4959, 5007, 6548, 6563 and 6583 as in a Smithsonian list',
  lines: [
    { name: 'H-beta', airAngstrom: 4861.33 },
    { name: '[O III] 4959', airAngstrom: 4958.91 },
    { name: '[O III] 5007', airAngstrom: 5006.84 },
    { name: '[N II] 6548', airAngstrom: 6548.05 },
    { name: 'H-alpha', airAngstrom: 6562.8 },
    { name: '[N II] 6583', airAngstrom: 6583.45 },
    { name: '[S II] 6716', airAngstrom: 6716.44 },
    { name: '[S II] 6731', airAngstrom: 6730.82 },
    { name: 'airglow O I 5577', airAngstrom: 5577.34 },
    { name: 'airglow O I 6300', airAngstrom: 6300.304 },
  ],
} as const

/** Ratios of photon rates that hold in most nebulae. */
export const LINE_RATIOS = {
  source: 'transition probabilities, and Osterbrock & Ferland for case B at 10 000 K (from memory)',
  oxygen5007Over4959: 2.98,
  nitrogen6583Over6548: 3.05,
  hydrogenAlphaOverBeta: 2.86,
} as const

/** Lines a target can be given in. */
export type LineName = 'h-alpha' | 'h-beta' | 'o-iii' | 's-ii' | 'n-ii'

/**
 * Where the light of a named line lies, and how its rayleighs split.
 *
 * `o-iii` is 5007 alone and `n-ii` 6583 alone: the weaker line of the pair, 4959 or 6548, is not added. `s-ii` is the
 * sum of 6716 and 6731, split equally (the low-density ratio is nearer 1.4; equal halves from memory, no source).
 */
export const TARGET_LINES: Record<LineName, readonly { readonly airNm: number; readonly share: number }[]> = {
  'h-alpha': [{ airNm: 656.28, share: 1 }],
  'h-beta': [{ airNm: 486.133, share: 1 }],
  'o-iii': [{ airNm: 500.684, share: 1 }],
  's-ii': [
    { airNm: 671.644, share: 0.5 },
    { airNm: 673.082, share: 0.5 },
  ],
  'n-ii': [{ airNm: 658.345, share: 1 }],
}

/**
 * Refractive index of standard air.
 *
 *     n = 1 + 8.34254e-5 + 0.02406147/(130 - s²) + 0.00015998/(38.9 - s²), s = 10⁴/λ(Å)
 *
 * @param vacuumAngstrom  2000 to 20000
 * @returns n
 * @throws {EngineError} `out-of-range`
 * @source Morton 2000, ApJS 130, 403, after Birch & Downs 1994
 */
export function airIndex(vacuumAngstrom: number): number {
  requireInRange('vacuumAngstrom', vacuumAngstrom, 2000, 20000)
  const s2 = (1e4 / vacuumAngstrom) ** 2
  return 1 + 8.34254e-5 + 0.02406147 / (130 - s2) + 0.00015998 / (38.9 - s2)
}

/**
 * Wavelength in air of a wavelength in vacuum.
 *
 * @param vacuumAngstrom  2000 to 20000
 * @returns Å in air
 * @throws {EngineError} `out-of-range`
 * @source Morton 2000, ApJS 130, 403
 */
export function airAngstrom(vacuumAngstrom: number): number {
  return vacuumAngstrom / airIndex(vacuumAngstrom)
}

/**
 * Wavelength in vacuum of a wavelength in air: the inverse of {@link airAngstrom}.
 *
 * @param wavelengthAngstrom  in air; 2000 to 19990
 * @returns Å in vacuum
 * @throws {EngineError} `out-of-range`
 * @source Morton 2000, ApJS 130, 403
 */
export function vacuumAngstrom(wavelengthAngstrom: number): number {
  let vacuum = wavelengthAngstrom
  // The index changes by some 1e-8 per Å, so each round gains more than five digits.
  for (let round = 0; round < 4; round++) vacuum = wavelengthAngstrom * airIndex(vacuum)
  return vacuum
}

/**
 * Energy of one rayleigh at a wavelength.
 *
 *     E = 10⁶/4π · h c/λ
 *
 * @param wavelengthAngstrom  above 0
 * @returns erg s-1 cm-2 per steradian and per arcsec²
 * @throws {EngineError} `out-of-range`
 * @source Leinert et al. 1998, A&AS 127, 1, section 2
 */
export function rayleighErgPerSecondCm2(wavelengthAngstrom: number): { perSteradian: number; perArcsec2: number } {
  requireInRange('wavelengthAngstrom', wavelengthAngstrom, 1)
  const photonErg =
    (1e7 * PLANCK_JOULE_SECONDS.value * LIGHT_SPEED_METERS_PER_SECOND.value) / (wavelengthAngstrom * 1e-10)
  const perSteradian = (1e6 / (4 * Math.PI)) * photonErg
  return { perSteradian, perArcsec2: perSteradian / ARCSEC_PER_RADIAN.value ** 2 }
}

/**
 * Photon radiance in rayleighs.
 *
 * @param photonsPerSecondCm2  per arcsec² (per Å for a continuum)
 * @returns R (R/Å for a continuum)
 * @source Leinert et al. 1998, A&AS 127, 1, section 2
 */
export function rayleighsOfPhotonsPerSecondCm2(photonsPerSecondCm2: number): number {
  return (photonsPerSecondCm2 * 1e4) / RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2
}

/** Emission measure of one rayleigh of a hydrogen line at 10 000 K, pc cm-6. */
export const EMISSION_MEASURE_PER_RAYLEIGH = {
  source: 'teaching note on rayleighs and emission measure; temperature to the power 0.9',
  'h-alpha': 2.75,
  'h-beta': 7.84,
} as const

/**
 * Emission measure of ionised hydrogen from the brightness of a line.
 *
 *     EM = 2.75 T₄^0.9 I(H-alpha) = 7.84 T₄^0.9 I(H-beta)
 *
 * @param input.line  which line
 * @param input.rayleighs  I; at least 0
 * @param input.temperatureKelvin  T of the gas; 1000 to 100000
 * @returns pc cm-6
 * @throws {EngineError} `out-of-range`
 * @source see {@link EMISSION_MEASURE_PER_RAYLEIGH}; H-alpha form as in Haffner et al. 2003, ApJS 149, 405
 */
export function emissionMeasure(input: {
  line: 'h-alpha' | 'h-beta'
  rayleighs: number
  temperatureKelvin: number
}): number {
  requireInRange('rayleighs', input.rayleighs, 0)
  requireInRange('temperatureKelvin', input.temperatureKelvin, 1000, 100000)
  return EMISSION_MEASURE_PER_RAYLEIGH[input.line] * (input.temperatureKelvin / 1e4) ** 0.9 * input.rayleighs
}
