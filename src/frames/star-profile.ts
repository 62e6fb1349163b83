// The shape of a star image: an elliptical Moffat profile (Moffat 1969, A&A 3, 455), fitted by least squares
// (Levenberg 1944, Marquardt 1963). A Gaussian is its limit for a steep wing, so one profile serves both.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { NORMAL_PER_MAD } from './histogram.ts'
import { LinearSystem } from './linear-system.ts'
import { median } from './median.ts'
import { PARAMETERS, PEAK, WING, X, XX, XY, Y, YY, evaluate, gradient } from './moffat.ts'

/** Pixels around a star: place relative to the middle of the cutout, and height above the background. */
export interface StarPixels {
  count: number
  x: Float64Array
  y: Float64Array
  height: Float64Array
}

/** Where a fit begins: the first time round, later the shape that the frame's other stars had. */
export interface StarShape {
  fwhmPx: number
  wing: number
}

export interface StarProfile extends StarShape {
  /** Center relative to the middle of the cutout, in pixels. */
  x: number
  y: number
  peak: number
  /** Inverse of Moffat's exponent: 0 for a Gaussian. */
  wing: number
  /** Full width at half maximum of the star before the pixels average it: geometric mean of both axes. */
  fwhmPx: number
  /** sqrt(1 − minor²/major²): 0 for a round star. */
  eccentricity: number
}

const SHALLOWEST_WING = 0.9
const STEEPEST_WING = 0.02
const ROUNDS = 40
const SETTLED = 1e-3
const FIRST_DAMPING = 1e-2
const DAMPING_RAISE = 5
const LARGEST_DAMPING = 1e8
/** A pixel is left out whose residual exceeds so many robust spreads, and this share of the peak. */
const OUTLIER_SPREADS = 5
const OUTLIER_SHARE = 0.05

/**
 * Fits a star.
 *
 *     f = B + P (1 + (2^w − 1) q)^(−1/w),  q = xx dx² + yy dy² + 2 xy dx dy,  w = 1/β
 *
 * q is 1 at half maximum whatever the wing, which keeps width and wing apart. Pixels average the light that falls on
 * them: the model is averaged over the pixel too, to second order (f + ∇²f / 24), so that the width is that of the light
 * itself. That holds to half a percent down to widths of two pixels.
 *
 * @param pixels  the cutout; one colour of a Bayer pattern will do
 * @param guess  peak, full width at half maximum and wing to begin with
 * @returns undefined where no star-like profile fits
 * @source Moffat 1969, A&A 3, 455; the parametrisation by the half maximum is ours
 */
export function fitStar(pixels: StarPixels, guess: StarShape & { peak: number }): StarProfile | undefined {
  if (pixels.count < 2 * PARAMETERS) return undefined
  const ellipse = 4 / guess.fwhmPx ** 2
  const first = Float64Array.of(0, 0, guess.peak, ellipse, ellipse, 0, guess.wing, 0)
  const fit = converge(pixels, first)
  const clean = withoutOutliers(pixels, fit)
  if (clean.count === pixels.count) return profileOf(fit)
  return clean.count < 2 * PARAMETERS ? undefined : profileOf(converge(clean, fit))
}

/** Steps downhill from some parameters until nothing more is gained. */
function converge(pixels: StarPixels, first: Float64Array): Float64Array {
  let best = first
  let system = new LinearSystem(PARAMETERS)
  let spare = new LinearSystem(PARAMETERS)
  let residual = linearize(pixels, best, system)
  let damping = FIRST_DAMPING
  for (let round = 0; round < ROUNDS && damping < LARGEST_DAMPING; round++) {
    const trial = step(best, system, damping)
    const trialResidual = trial ? linearize(pixels, trial, spare) : Infinity
    if (!trial || !(trialResidual < residual)) {
      damping *= DAMPING_RAISE
      continue
    }
    const gain = (residual - trialResidual) / residual
    ;[best, residual, system, spare] = [trial, trialResidual, spare, system]
    damping /= DAMPING_RAISE
    if (gain < SETTLED) break
  }
  return best
}

/** Leaves out what is not the star's: hot pixels amid its light, a companion. */
function withoutOutliers(pixels: StarPixels, fit: Float64Array): StarPixels {
  const power = 2 ** fit[WING]!
  const residuals = new Float64Array(pixels.count)
  for (let index = 0; index < pixels.count; index++) {
    const model = evaluate(fit, pixels.x[index]! - fit[X]!, pixels.y[index]! - fit[Y]!, power)
    residuals[index] = Math.abs(pixels.height[index]! - model)
  }
  const least = OUTLIER_SHARE * fit[PEAK]!
  if (residuals.every((residual) => residual <= least)) return pixels
  const limit = Math.max(least, OUTLIER_SPREADS * NORMAL_PER_MAD * (median(residuals) ?? 0))
  const pick = (values: Float64Array): Float64Array =>
    values.filter((_, index) => (residuals[index] ?? Infinity) <= limit)
  const height = pick(pixels.height)
  return { count: height.length, x: pick(pixels.x), y: pick(pixels.y), height }
}

/** The parameters after a damped step; undefined where they no longer describe a star. */
function step(from: Float64Array, system: LinearSystem, damping: number): Float64Array | undefined {
  const change = system.solve(damping)
  if (!change) return undefined
  const to = from.map((value, index) => value + change[index]!)
  to[WING] = Math.min(SHALLOWEST_WING, Math.max(STEEPEST_WING, to[WING]!))
  const isEllipse = to[XX]! > 0 && to[YY]! > 0 && to[XX]! * to[YY]! > to[XY]! ** 2
  return isEllipse && to[PEAK]! > 0 ? to : undefined
}

/** Fills the normal equations at these parameters; returns the sum of the squared residuals. */
function linearize(pixels: StarPixels, parameters: Float64Array, system: LinearSystem): number {
  system.clear()
  const power = 2 ** parameters[WING]!
  let sum = 0
  for (let index = 0; index < pixels.count; index++) {
    const dx = pixels.x[index]! - parameters[X]!
    const dy = pixels.y[index]! - parameters[Y]!
    const residual = pixels.height[index]! - evaluate(parameters, dx, dy, power)
    system.add(gradient, residual)
    sum += residual * residual
  }
  return sum
}

function profileOf(parameters: Float64Array): StarProfile | undefined {
  const [xx, yy, xy] = [parameters[XX]!, parameters[YY]!, parameters[XY]!]
  const middle = (xx + yy) / 2
  const half = Math.hypot((xx - yy) / 2, xy)
  // Half widths at half maximum are the inverse roots of the ellipse's eigenvalues.
  const majorSquared = 4 / (middle - half)
  const minorSquared = 4 / (middle + half)
  if (!Number.isFinite(majorSquared)) return undefined
  return {
    x: parameters[X]!,
    y: parameters[Y]!,
    peak: parameters[PEAK]!,
    wing: parameters[WING]!,
    fwhmPx: (majorSquared * minorSquared) ** 0.25,
    eccentricity: Math.sqrt(Math.max(0, 1 - minorSquared / majorSquared)),
  }
}
