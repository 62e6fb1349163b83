// What stars, surfaces and nebulae put on a detector, dimmed by the air above it.

import { requireInRange } from '../errors.ts'
import { lineIntegral, solarIntegral } from './band-integrals.ts'
import type { LineName } from './emission-lines.ts'
import { relativeFlux } from './magnitudes.ts'
import type { Response } from './response.ts'

/** The system and the air that the light of a target passes. */
export interface TargetPath {
  readonly response: Response
  /** In V; 0 to 5. */
  readonly extinctionMagPerAirmass: number
  /** 0 (above the atmosphere) to 40. */
  readonly airmass: number
}

/**
 * Electrons of a surface of the Sun's colour, such as a galaxy.
 *
 *     E = ∫ L(λ) R(λ) 10^(-0.4 k(λ) X) dλ
 *
 * @param input.magPerArcsec2  V outside the atmosphere; -30 to 40
 * @param input.response, input.extinctionMagPerAirmass, input.airmass  see {@link TargetPath}
 * @returns electrons s-1 m-2 arcsec-2
 * @throws {EngineError} `out-of-range`
 * @derived from the V zero point of Bessell, Castelli & Plez 1998, A&A 333, 231
 */
export function surfaceElectrons(input: TargetPath & { readonly magPerArcsec2: number }): number {
  requireInRange('magPerArcsec2', input.magPerArcsec2, -30, 40)
  return solarElectrons(input, input.magPerArcsec2)
}

/**
 * Electrons of a star of the Sun's colour.
 *
 * @param input.magnitude  V outside the atmosphere; -30 to 40
 * @param input.response, input.extinctionMagPerAirmass, input.airmass  see {@link TargetPath}
 * @returns electrons s-1 m-2
 * @throws {EngineError} `out-of-range`
 * @derived from the V zero point of Bessell, Castelli & Plez 1998, A&A 333, 231
 */
export function starElectrons(input: TargetPath & { readonly magnitude: number }): number {
  requireInRange('magnitude', input.magnitude, -30, 40)
  return solarElectrons(input, input.magnitude)
}

function solarElectrons({ response, extinctionMagPerAirmass, airmass }: TargetPath, magnitude: number): number {
  requireInRange('extinctionMagPerAirmass', extinctionMagPerAirmass, 0, 5)
  requireInRange('airmass', airmass, 0, 40)
  return relativeFlux(magnitude) * solarIntegral({ response, extinctionMagPerAirmass, airmass })
}

/**
 * Electrons of a nebula that shines in one line. See `TARGET_LINES` for what each name stands for: `o-iii` is 5007
 * without 4959, `s-ii` is both lines together.
 *
 *     E = I · 1e10/4π · R(λ) · 10^(-0.4 k(λ) X)
 *
 * @param input.line  which line
 * @param input.rayleighs  I outside the atmosphere; at least 0
 * @param input.response, input.extinctionMagPerAirmass, input.airmass  see {@link TargetPath}
 * @returns electrons s-1 m-2 arcsec-2; 0 when the line lies outside the filter
 * @throws {EngineError} `out-of-range`
 * @source Leinert et al. 1998, A&AS 127, 1, section 2 (the rayleigh)
 */
export function lineElectrons(input: TargetPath & { readonly line: LineName; readonly rayleighs: number }): number {
  requireInRange('rayleighs', input.rayleighs, 0, 1e12)
  return input.rayleighs * lineIntegral(input)
}
