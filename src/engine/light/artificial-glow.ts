// The glow of one city, as a rule of thumb. How glow grows toward the horizon has no simple published law.

import { requireInRange } from '../errors.ts'

/**
 * Glow of a single city, halfway up the sky in its direction.
 *
 *     I = 0.01 P d^-2.5
 *
 * @param input.population  P; at least 1
 * @param input.distanceKm  d; 1 to 1000
 * @returns brightness relative to the natural sky at an altitude of 45°
 * @throws {EngineError} `out-of-range`
 * @source Walker 1977, PASP 89, 405 (constant from memory)
 */
export function cityGlowRelativeToNatural(input: { population: number; distanceKm: number }): number {
  requireInRange('population', input.population, 1, 1e9)
  requireInRange('distanceKm', input.distanceKm, 1, 1000)
  return 0.01 * input.population * input.distanceKm ** -2.5
}
