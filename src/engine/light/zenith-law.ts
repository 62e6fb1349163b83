// How the natural sky brightens away from the zenith: the airglow layer is seen slantwise, and the air dims it.

import { requireInRange } from '../errors.ts'

/**
 * Change of the natural sky's magnitude from the zenith to a given airmass.
 *
 *     Δm = -2.5 log10((1 - f) + f X) + k (X - 1)
 *
 * With f = 1 it is the dark sky of Krisciunas & Schaefer 1991, B₀(Z) = B_zenith 10^(-0.4 k (X - 1)) X.
 *
 * @param input.airglowShare  f, share of the zenith sky that is airglow; 0 to 1
 * @param input.extinctionMagPerAirmass  k of the band; 0 to 5
 * @param input.airmass  X by `layerAirmass`; 1 to 40
 * @returns mag; negative is brighter than the zenith
 * @throws {EngineError} `out-of-range`
 * @source Patat 2003, A&A 400, 1183, appendix C, after Garstang 1989, PASP 101, 306, eq. 29
 */
export function zenithDistanceMag(input: {
  airglowShare: number
  extinctionMagPerAirmass: number
  airmass: number
}): number {
  requireInRange('airglowShare', input.airglowShare, 0, 1)
  requireInRange('extinctionMagPerAirmass', input.extinctionMagPerAirmass, 0, 5)
  requireInRange('airmass', input.airmass, 1, 40)
  const path = 1 + input.airglowShare * (input.airmass - 1)
  return -2.5 * Math.log10(path) + input.extinctionMagPerAirmass * (input.airmass - 1)
}
