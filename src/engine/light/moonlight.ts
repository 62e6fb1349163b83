// Moonlight scattered by clear air, in V. Accuracy 8 to 23 % by the paper's abstract; the scattering law below 10°
// of the Moon is from memory, and the extra brightness of the full Moon within 7° of opposition (up to 35 %) is
// left out. Airmass here is that of a thin layer, as in the paper.

import { requireInRange } from '../errors.ts'
import { KRISCIUNAS_SCHAEFER_LAYER, layerAirmass } from './airmass.ts'
import { transmittance } from './extinction.ts'

const RADIANS_PER_DEGREE = Math.PI / 180

/** Separation below which the target lies on the Moon or at its very limb: its mean semidiameter, rounded. */
export const SMALLEST_MOON_SEPARATION_DEGREES = 0.25

/** Sky brightness with the age of the Moon at solar minimum, mag/arcsec²; found optimistic by Patat 2003. */
export const MOON_AGE_SKY = {
  source: 'Walker 1987, NOAO Newsletter 10, 16 (from memory)',
  rows: [
    { days: 0, U: 22.0, B: 22.7, V: 21.8, R: 20.9, I: 19.9 },
    { days: 3, U: 21.5, B: 22.4, V: 21.7, R: 20.8, I: 19.9 },
    { days: 7, U: 19.9, B: 21.6, V: 21.4, R: 20.6, I: 19.7 },
    { days: 10, U: 18.5, B: 20.7, V: 20.7, R: 20.3, I: 19.5 },
    { days: 14, U: 17.0, B: 19.5, V: 20.0, R: 19.9, I: 19.2 },
  ],
} as const

/** Where the Moon stands and how full it is. */
export interface Moon {
  /** 0 at full Moon, 180 at new Moon. */
  readonly phaseAngleDegrees: number
  readonly altitudeDegrees: number
  /** Angle between the Moon and the target. */
  readonly separationDegrees: number
}

/**
 * Light of the Moon above the atmosphere.
 *
 *     I* = 10^(-0.4 (3.84 + 0.026 |α| + 4e-9 α⁴))
 *
 * @param phaseAngleDegrees  α; -180 to 180
 * @returns illuminance in footcandles
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033
 */
export function moonIlluminance(phaseAngleDegrees: number): number {
  requireInRange('phaseAngleDegrees', phaseAngleDegrees, -180, 180)
  return 10 ** (-0.4 * (3.84 + 0.026 * Math.abs(phaseAngleDegrees) + 4e-9 * phaseAngleDegrees ** 4))
}

/**
 * Scattering of moonlight by air and aerosol, by angle from the Moon.
 *
 *     f(ρ) = 10^5.36 (1.06 + cos² ρ) + 10^(6.15 - ρ/40), the last term 6.2e7/ρ² below 10°
 *
 * @param separationDegrees  ρ; 0.25 to 180
 * @returns scattering function, in the units of the paper
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033 (branch below 10° from memory)
 */
export function moonScattering(separationDegrees: number): number {
  requireInRange('separationDegrees', separationDegrees, SMALLEST_MOON_SEPARATION_DEGREES, 180)
  const cosine = Math.cos(separationDegrees * RADIANS_PER_DEGREE)
  const aerosol = separationDegrees >= 10 ? 10 ** (6.15 - separationDegrees / 40) : 6.2e7 / separationDegrees ** 2
  return 10 ** 5.36 * (1.06 + cosine * cosine) + aerosol
}

/**
 * Sky brightness that moonlight adds in V.
 *
 *     B = f(ρ) I* 10^(-0.4 k X(Zm)) (1 - 10^(-0.4 k X(Z)))
 *
 * @param input.moon  where it stands; below the horizon it adds nothing
 * @param input.targetAltitudeDegrees  0 to 90
 * @param input.extinctionMagPerAirmass  k in V; 0 to 20
 * @returns nL; 0 when the Moon is down or the air does not scatter
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033
 */
export function moonlightNanolamberts(input: {
  moon: Moon
  targetAltitudeDegrees: number
  extinctionMagPerAirmass: number
}): number {
  const { moon, targetAltitudeDegrees, extinctionMagPerAirmass } = input
  requireInRange('moon.altitudeDegrees', moon.altitudeDegrees, -90, 90)
  const light = moonIlluminance(moon.phaseAngleDegrees) * moonScattering(moon.separationDegrees)
  const scattered = 1 - transmittance({ extinctionMagPerAirmass, airmass: moonModelAirmass(targetAltitudeDegrees) })
  if (moon.altitudeDegrees < 0) return 0
  return light * transmittance({ extinctionMagPerAirmass, airmass: moonModelAirmass(moon.altitudeDegrees) }) * scattered
}

/**
 * Airmass at an altitude in the paper's own model.
 *
 * @param altitudeDegrees  0 to 90
 * @returns airmasses; 1 at the zenith, 5 at the horizon
 * @throws {EngineError} `out-of-range`
 * @source Krisciunas & Schaefer 1991, PASP 103, 1033
 */
export function moonModelAirmass(altitudeDegrees: number): number {
  requireInRange('altitudeDegrees', altitudeDegrees, 0, 90)
  return layerAirmass({ zenithDistanceDegrees: 90 - altitudeDegrees, layer: KRISCIUNAS_SCHAEFER_LAYER })
}
