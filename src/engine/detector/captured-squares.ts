// How a star in an aperture weighs errors that each pixel makes on its own, such as those of a flat.

import { requireInRange } from '../errors.ts'
import { integrate } from '../quadrature.ts'
import { pixelShare, radialGrowth, type StarImage } from './point-spread.ts'

/** Directions within an eighth of the circle: a square pixel looks alike from every other eighth. */
const DIRECTIONS = [0.5, 1.5, 2.5, 3.5].map((step) => (step * Math.PI) / 16)

/**
 * Sum of the squares of a star's share per pixel over the pixels of an aperture, averaged over where the star falls on its
 * pixel.
 *
 *     Q(r) = ∫ F(x)² dx over |x| < r,  F(x) the share of a pixel centred x away from the star
 *
 * @param input.radiusPx  r; a pixel counts when its centre lies inside; ≥ 0
 * @returns 0 to 1
 * @throws {EngineError} `out-of-range`
 * @derived the mean over positions of a sum over the pixel grid is the integral over the plane
 */
export function capturedSquaredShares(input: StarImage & { radiusPx: number }): number {
  const { radiusPx, fwhmPx } = input
  requireInRange('radiusPx', radiusPx, 0)
  const growth = radialGrowth(input)
  const ring = (radius: number) => {
    const squares = DIRECTIONS.map(
      (angle) => pixelShare(growth, radius * Math.cos(angle), radius * Math.sin(angle)) ** 2,
    )
    return 2 * Math.PI * radius * (squares.reduce((sum, square) => sum + square, 0) / squares.length)
  }
  // The core, its flank and the wings, each smooth on its own scale.
  const core = Math.max(0.6, fwhmPx)
  const edges = [0, core, 3 * core].filter((edge) => edge < radiusPx)
  return edges.reduce((sum, edge, index) => sum + integrate(ring, edge, edges[index + 1] ?? radiusPx), 0)
}
