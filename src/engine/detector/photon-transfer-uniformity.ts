// Fixed pattern: how far pixels differ from each other in the dark (DSNU) and in their response to light (PRNU). A
// spatial variance that comes out negative is undefined, not zero: noise hides the pattern.

import { requireInRange } from '../errors.ts'

/**
 * Spatial variance of an average of frames, freed of the temporal noise left in it.
 *
 *     s² = s²_measured − σ²/L
 *
 * @param input.measuredAdu2  spatial variance of the average, ≥ 0
 * @param input.temporalVarianceAdu2  of one frame, ≥ 0
 * @param input.frameCount  L, frames averaged, ≥ 1
 * @returns ADU²; may be negative
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 36
 */
export function correctedSpatialVariance(input: {
  measuredAdu2: number
  temporalVarianceAdu2: number
  frameCount: number
}): number {
  requireInRange('measuredAdu2', input.measuredAdu2, 0, 1e15)
  requireInRange('temporalVarianceAdu2', input.temporalVarianceAdu2, 0, 1e15)
  requireInRange('frameCount', input.frameCount, 1, 1e9)
  return input.measuredAdu2 - input.temporalVarianceAdu2 / input.frameCount
}

/**
 * Dark signal non-uniformity.
 *
 *     DSNU = s_y.dark/K
 *
 * @param input.darkSpatialVarianceAdu2  free of temporal noise; may be negative
 * @param input.electronsPerAdu  1/K, > 0
 * @returns electrons; null where the variance is negative
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 66
 */
export function darkNonUniformityElectrons(input: {
  darkSpatialVarianceAdu2: number
  electronsPerAdu: number
}): number | null {
  requireInRange('darkSpatialVarianceAdu2', input.darkSpatialVarianceAdu2, -1e15, 1e15)
  requireInRange('electronsPerAdu', input.electronsPerAdu, 1e-12, 1e9)
  return input.darkSpatialVarianceAdu2 < 0 ? null : input.electronsPerAdu * Math.sqrt(input.darkSpatialVarianceAdu2)
}

/**
 * Photo response non-uniformity.
 *
 *     PRNU = √(s²_y − s²_y.dark)/(μ_y − μ_y.dark), at half of saturation
 *
 * @param input.spatialVarianceAdu2  of the bright frames, free of temporal noise; may be negative
 * @param input.darkSpatialVarianceAdu2  of the darks, likewise
 * @param input.signalAdu  mean above the dark, > 0
 * @returns a fraction of the signal; null where the difference is negative
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 67
 */
export function photoResponseNonUniformityShare(input: {
  spatialVarianceAdu2: number
  darkSpatialVarianceAdu2: number
  signalAdu: number
}): number | null {
  requireInRange('spatialVarianceAdu2', input.spatialVarianceAdu2, -1e15, 1e15)
  requireInRange('darkSpatialVarianceAdu2', input.darkSpatialVarianceAdu2, -1e15, 1e15)
  requireInRange('signalAdu', input.signalAdu, 1e-9, 1e9)
  const difference = input.spatialVarianceAdu2 - input.darkSpatialVarianceAdu2
  return difference < 0 ? null : Math.sqrt(difference) / input.signalAdu
}

/**
 * Standard uncertainty of a spatial variance that was formed as the covariance of a pair.
 *
 *     u² = [(s² + σ²)² + s⁴]/N
 *
 * @param input.spatialVarianceAdu2  s²; a negative one counts as 0
 * @param input.temporalVarianceAdu2  σ² of one frame
 * @param input.pixelCount  N
 * @returns ADU²
 * @derived sampling variance of the covariance of two normal variables (Wishart)
 */
export function spatialVarianceUncertainty(input: {
  spatialVarianceAdu2: number
  temporalVarianceAdu2: number
  pixelCount: number
}): number {
  const pattern = Math.max(input.spatialVarianceAdu2, 0)
  return Math.hypot(pattern + input.temporalVarianceAdu2, pattern) / Math.sqrt(input.pixelCount)
}
