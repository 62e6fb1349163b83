// Magnitudes and the fluxes behind them: 5 mag is a factor of 100 (Pogson). Components of a sky add as fluxes,
// never as magnitudes.

import { EngineError } from '../errors.ts'

/**
 * Flux of a magnitude, relative to magnitude zero.
 *
 *     F = 10^(-0.4 m)
 *
 * @param magnitude  in mag, or mag/arcsec² for a radiance
 * @returns flux in units of that of magnitude 0; above 0
 * @source Pogson 1856 (from memory): the definition of the magnitude
 */
export function relativeFlux(magnitude: number): number {
  return 10 ** (-0.4 * magnitude)
}

/**
 * Magnitude of a flux given relative to magnitude zero.
 *
 *     m = -2.5 log10 F
 *
 * @param flux  in units of the flux of magnitude 0; above 0
 * @returns magnitude
 * @throws {EngineError} `no-solution` for a flux that is not a positive number
 * @source Pogson 1856 (from memory): the definition of the magnitude
 */
export function magnitudeOfRelativeFlux(flux: number): number {
  if (flux > 0 && flux < Infinity) return -2.5 * Math.log10(flux)
  throw new EngineError('no-solution', `A flux of ${flux} has no magnitude.`, { field: 'flux', given: flux })
}

/**
 * Magnitude of several components together.
 *
 *     m = -2.5 log10 Σ 10^(-0.4 mᵢ)
 *
 * @param magnitudes  of the components; at least one
 * @returns magnitude of the sum of their fluxes
 * @throws {EngineError} `no-solution` when there is no component
 * @derived addition of fluxes
 */
export function addMagnitudes(magnitudes: readonly number[]): number {
  return magnitudeOfRelativeFlux(magnitudes.reduce((sum, magnitude) => sum + relativeFlux(magnitude), 0))
}

/**
 * Magnitude of what is left of a total when one part is taken away.
 *
 * @param input.total  magnitude of everything
 * @param input.part  magnitude of the part; fainter than the total
 * @returns magnitude of the rest
 * @throws {EngineError} `no-solution` when the part is as bright as the total or brighter
 * @derived subtraction of fluxes
 */
export function subtractMagnitudes({ total, part }: { total: number; part: number }): number {
  return magnitudeOfRelativeFlux(relativeFlux(total) - relativeFlux(part))
}
