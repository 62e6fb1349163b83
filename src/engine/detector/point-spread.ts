// How a star's light spreads over pixels: a round Gaussian or Moffat profile on square pixels that are sensitive all over.
// Lengths are in pixels of the frame. Sources: Moffat 1969, A&A 3, 455; King 1983, PASP 95, 163; Mighell 2003, ASP 295,
// 395.

import { requireInRange } from '../errors.ts'
import { integrate } from '../quadrature.ts'

/** Gaussian, or Moffat with (1 + r²/a²)^−β; 2.5 to 4.8 is usual for seeing. */
export type Profile = { kind: 'gaussian' } | { kind: 'moffat'; beta: number }

export interface StarImage {
  /** β from 1.5 to 100; below 1.5 most of the light would lie outside any aperture. */
  profile: Profile
  /** Full width at half maximum before the pixels sample it, 0.001 to 10⁶ px. */
  fwhmPx: number
}

/**
 * Share of the light within a circle about the star, by the square of its radius.
 *
 *     Gaussian 1 − exp(−r²/2σ²);   Moffat 1 − (1 + r²/a²)^(1−β)
 *
 * @returns a function of radius² in px², 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Moffat 1969; widths F = 2√(2 ln 2) σ and F = 2a √(2^(1/β) − 1)
 */
export function radialGrowth({ profile, fwhmPx }: StarImage): (radius2: number) => number {
  const perRadius2 = 1 / coreRadiusPx({ profile, fwhmPx }) ** 2
  if (profile.kind === 'gaussian') return (radius2) => -Math.expm1(-radius2 * perRadius2)
  const exponent = 1 - profile.beta
  return (radius2) => -Math.expm1(exponent * Math.log1p(radius2 * perRadius2))
}

/**
 * Moffat's a; for a Gaussian √2 σ, so that the light within r depends on r²/a² in both.
 *
 * @returns px
 * @throws {EngineError} `out-of-range`
 * @source Moffat 1969; F = 2a √(2^(1/β) − 1), and F = 2√(2 ln 2) σ
 */
export function coreRadiusPx({ profile, fwhmPx }: StarImage): number {
  requireInRange('fwhmPx', fwhmPx, 0.001, 1e6)
  if (profile.kind === 'gaussian') return fwhmPx / (2 * Math.sqrt(Math.LN2))
  requireInRange('beta', profile.beta, 1.5, 100)
  return fwhmPx / (2 * Math.sqrt(2 ** (1 / profile.beta) - 1))
}

/**
 * Share of the light within a radius, before pixels.
 *
 * @param input.radiusPx  ≥ 0
 * @returns 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Moffat 1969; King 1983
 */
export function enclosedFraction(input: StarImage & { radiusPx: number }): number {
  requireInRange('radiusPx', input.radiusPx, 0)
  return radialGrowth(input)(input.radiusPx ** 2)
}

/**
 * Light that leaves the star through a line segment x = edge, y from `from` to `to`, the star being at the origin.
 *
 * The outward flow with the profile as its divergence is g(r²)/(2π r²) along r, so the light in a pixel is the sum over its
 * four sides (Gauss's theorem): one smooth integral a side however narrow the profile.
 */
function flowThroughSide(growth: (radius2: number) => number, edge: number, from: number, to: number): number {
  const flow = (y: number) => (growth(edge * edge + y * y) * edge) / (edge * edge + y * y)
  return integrate(flow, from, to) / (2 * Math.PI)
}

/**
 * Share of the light in the pixel centred at (x, y) from the star.
 *
 * @param growth  of {@link radialGrowth}
 * @returns 0 to 1
 * @derived Gauss's theorem, see above
 */
export function pixelShare(growth: (radius2: number) => number, x: number, y: number): number {
  const vertical = (edge: number) => flowThroughSide(growth, edge, y - 0.5, y + 0.5)
  const horizontal = (edge: number) => flowThroughSide(growth, edge, x - 0.5, x + 0.5)
  return vertical(x + 0.5) - vertical(x - 0.5) + horizontal(y + 0.5) - horizontal(y - 0.5)
}

/**
 * Share of the light in the pixel that a star is centred on: the most any pixel can get, the worst case for clipping.
 *
 *     Gaussian: erf(1/(2√2 σ))²
 *
 * @returns 0 to 1
 * @throws {EngineError} `out-of-range`
 * @derived integral of the profile over the pixel, by its sides
 */
export function peakPixelFraction(image: StarImage): number {
  return pixelShare(radialGrowth(image), 0, 0)
}

/**
 * Share of the light in each of the four pixels around a star centred on their common corner.
 *
 * @returns 0 to 1/4
 * @throws {EngineError} `out-of-range`
 * @derived as peakPixelFraction
 */
export function cornerPixelFraction(image: StarImage): number {
  return pixelShare(radialGrowth(image), 0.5, 0.5)
}

/**
 * Share of the light in the pixel that holds the star's centre, averaged over where in the pixel the centre falls.
 *
 *     ∬ p(x, y) (1 − |x|)(1 − |y|) dx dy over |x|, |y| < 1
 *
 * @returns 0 to 1, below the peak fraction
 * @throws {EngineError} `out-of-range`
 * @derived overlap of a pixel with itself, averaged over angle in closed form and integrated by parts over radius
 */
export function meanPeakPixelFraction(image: StarImage): number {
  const growth = radialGrowth(image)
  let sum = 0
  // Panels that double in width follow the growth from a star much narrower than the pixel out to its wings.
  for (let from = 0, to = image.fwhmPx; from < 1; from = to, to *= 2) {
    sum += integrate((r) => growth(r * r) * (2 - r), from, Math.min(1, to))
  }
  // Beyond r = 1 only the corners are left; r = 1/cos θ makes the integrand smooth there.
  sum += integrate(
    (theta) => {
      const r = 1 / Math.cos(theta)
      const slope = 2 * (Math.cos(theta) - Math.sin(theta)) - r * Math.cos(2 * theta)
      return growth(r * r) * slope * r * Math.tan(theta)
    },
    0,
    Math.PI / 4,
  )
  return (2 / Math.PI) * sum
}
