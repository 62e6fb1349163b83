// Moffat's profile (Moffat 1969, A&A 3, 455) of an elliptical star, averaged over a pixel, with its derivatives.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

/** Center, peak, three coefficients of the ellipse, wing (inverse of Moffat's exponent), background left over. */
export const PARAMETERS = 8
export const X = 0
export const Y = 1
export const PEAK = 2
export const XX = 3
export const YY = 4
export const XY = 5
export const WING = 6
const BASE = 7

/** A pixel's mean differs from its middle by this share of the Laplacian: the variance within a pixel, halved. */
const PIXEL_AVERAGE = 1 / 24

/** The derivatives that {@link evaluate} has left, by parameter. */
export const gradient = new Float64Array(PARAMETERS)

/**
 * The profile, averaged over a pixel at a distance from its center. Leaves its derivatives by every parameter in
 * `gradient`, without the average: that shapes the path to the best fit, not the fit.
 */
export function evaluate(parameters: Float64Array, dx: number, dy: number, power: number): number {
  const xx = parameters[XX]!
  const yy = parameters[YY]!
  const xy = parameters[XY]!
  const wing = parameters[WING]!
  const q = xx * dx * dx + yy * dy * dy + 2 * xy * dx * dy
  const base = 1 + (power - 1) * q
  const logBase = Math.log(base)
  const shape = Math.exp(-logBase / wing)
  const value = parameters[PEAK]! * shape
  const byQ = (-value * (power - 1)) / (wing * base)
  const slopeX = 2 * (xx * dx + xy * dy)
  const slopeY = 2 * (yy * dy + xy * dx)
  const byQTwice = (-byQ * (power - 1) * (1 / wing + 1)) / base
  const laplacian = byQTwice * (slopeX * slopeX + slopeY * slopeY) + 2 * byQ * (xx + yy)
  gradient[X] = -byQ * slopeX
  gradient[Y] = -byQ * slopeY
  gradient[PEAK] = shape
  gradient[XX] = byQ * dx * dx
  gradient[YY] = byQ * dy * dy
  gradient[XY] = 2 * byQ * dx * dy
  gradient[WING] = value * (logBase / (wing * wing) - (q * Math.LN2 * power) / (wing * base))
  gradient[BASE] = 1
  return parameters[BASE]! + value + PIXEL_AVERAGE * laplacian
}
