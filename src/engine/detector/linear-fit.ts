// Straight lines by weighted least squares, with the uncertainty that goes with what is known of the data: given
// uncertainties are taken at their word; without them the scatter about the line stands in for them.

import { EngineError } from '../errors.ts'

export interface LinePoint {
  x: number
  y: number
  /** 1/variance of y, or only proportional to it; > 0. */
  weight: number
}

export interface LineFit {
  intercept: number
  slope: number
  /** Covariance matrix of intercept and slope for weights that are 1/variance. */
  interceptVariance: number
  slopeVariance: number
  covariance: number
  /** Σ weight · residual². */
  chiSquare: number
  degreesOfFreedom: number
}

/**
 * Weighted straight line with intercept.
 *
 *     slope = Σ w (x − x̄)(y − ȳ)/Σ w (x − x̄)²,   var(slope) = 1/Σ w (x − x̄)²
 *
 * @param points  at least two different x
 * @returns line, covariance for weights 1/variance, and chi-square
 * @throws {EngineError} `not-enough-data` when all x are equal
 * @source Bevington & Robinson 2003, Data Reduction and Error Analysis, 6.3 (from memory), written about the weighted means
 */
export function fitLine(points: readonly LinePoint[]): LineFit {
  if (!points.some(({ x }) => x !== points[0]?.x)) {
    throw new EngineError('not-enough-data', 'A line needs at least two different abscissae.')
  }
  let weights = 0
  let meanX = 0
  let meanY = 0
  for (const { x, y, weight } of points) {
    weights += weight
    meanX += weight * x
    meanY += weight * y
  }
  meanX /= weights
  meanY /= weights
  let spread = 0
  let product = 0
  for (const { x, y, weight } of points) {
    spread += weight * (x - meanX) ** 2
    product += weight * (x - meanX) * (y - meanY)
  }
  const slope = product / spread
  const intercept = meanY - slope * meanX
  return {
    intercept,
    slope,
    interceptVariance: 1 / weights + meanX ** 2 / spread,
    slopeVariance: 1 / spread,
    covariance: -meanX / spread,
    chiSquare: points.reduce((sum, { x, y, weight }) => sum + weight * (y - intercept - slope * x) ** 2, 0),
    degreesOfFreedom: points.length - 2,
  }
}
