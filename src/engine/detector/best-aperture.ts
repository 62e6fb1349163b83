// The aperture in which a star stands out best: large enough to hold the star, small enough to leave the sky out.

import { EngineError, requireInRange } from '../errors.ts'
import { capturedFraction } from './aperture.ts'
import { coreRadiusPx, type StarImage } from './point-spread.ts'

export interface ApertureQuestion extends StarImage {
  /** All electrons of the star, 0 to 10¹⁸; 0 asks for the limit of a faint star. */
  starElectrons: number
  /** Variance of one pixel without the star, electrons²: sky, dark current and read noise; above 0. */
  backgroundVariancePerPx: number
  /** Pixels the background is estimated from, at least 1; absent for so many that they add no noise. */
  backgroundPixels?: number
}

/**
 * Radius of the aperture of best signal-to-noise ratio.
 *
 *     SNR(r) = F c(r)/√(F c(r) + n (1 + n/n_B) v),   n = π r²
 *
 * Solved for the captured share c of a profile whose core is widened by the pixel, which costs less than 0.2 % of SNR from
 * 1.25 px FWHM up; a narrower star is searched with the exact share.
 *
 * @returns px; 0.673 FWHM for a faint, well sampled Gaussian
 * @throws {EngineError} `out-of-range`; `no-solution` without background noise, as then a larger aperture is always better
 * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory) for SNR(r); its maximum derived
 */
export function bestApertureRadiusPx(question: ApertureQuestion): number {
  const { starElectrons, backgroundVariancePerPx, backgroundPixels } = question
  requireInRange('starElectrons', starElectrons, 0, 1e18)
  if (backgroundPixels !== undefined) requireInRange('backgroundPixels', backgroundPixels, 1, 1e18)
  if (backgroundVariancePerPx === 0) {
    throw new EngineError('no-solution', 'Without noise outside the star no aperture is too large.', {
      field: 'backgroundVariancePerPx',
      given: 0,
    })
  }
  requireInRange('backgroundVariancePerPx', backgroundVariancePerPx, 1e-12, 1e18)
  const radius = analyticRadius(question)
  return question.fwhmPx < 1.25 ? searchedRadius(question, radius) : radius
}

/** d ln SNR/d ln r = 0 for the widened profile. The left side falls from above to below zero once; it is halved in ln r². */
function analyticRadius(question: ApertureQuestion): number {
  const widened = widenedProfile(question)
  const rising = (logRadius2: number) => {
    const radius2 = Math.exp(logRadius2)
    const pixels = Math.PI * radius2
    const dilution = pixels / (question.backgroundPixels ?? Infinity)
    const { captured, slope } = widened(radius2)
    const starToBackground = (question.starElectrons * captured) / (pixels * question.backgroundVariancePerPx)
    return slope * (starToBackground + 2 * (1 + dilution)) > 1 + 2 * dilution
  }
  let low = -8
  let high = 2
  while (rising(high)) high += 4
  while (high - low > 1e-9) {
    const middle = (low + high) / 2
    if (rising(middle)) low = middle
    else high = middle
  }
  return Math.exp(low / 2)
}

/**
 * Captured share c and d ln c/d ln r² of the profile with its core widened so that the density at its centre is what a pixel
 * leaves of it, to second order: a² + β/6, or 2σ² + 1/6.
 */
function widenedProfile(question: ApertureQuestion): (radius2: number) => { captured: number; slope: number } {
  const core2 = coreRadiusPx(question) ** 2
  const { profile } = question
  if (profile.kind === 'gaussian') {
    return (radius2) => {
      const x = radius2 / (core2 + 1 / 6)
      const captured = -Math.expm1(-x)
      return { captured, slope: (x * Math.exp(-x)) / captured }
    }
  }
  const { beta } = profile
  return (radius2) => {
    const x = radius2 / (core2 + beta / 6)
    const logRest = (1 - beta) * Math.log1p(x)
    const captured = -Math.expm1(logRest)
    return { captured, slope: ((beta - 1) * x * Math.exp(logRest)) / ((1 + x) * captured) }
  }
}

const GOLDEN = (Math.sqrt(5) - 1) / 2

/** Golden-section search of the exact signal-to-noise ratio about a first guess, in ln r. */
function searchedRadius(question: ApertureQuestion, guess: number): number {
  let low = Math.log(guess / 3)
  let high = Math.log(guess * 1.5)
  let left = high - GOLDEN * (high - low)
  let right = low + GOLDEN * (high - low)
  let snrLeft = snr(question, Math.exp(left))
  let snrRight = snr(question, Math.exp(right))
  while (high - low > 0.02) {
    if (snrLeft < snrRight) {
      low = left
      left = right
      snrLeft = snrRight
      right = low + GOLDEN * (high - low)
      snrRight = snr(question, Math.exp(right))
    } else {
      high = right
      right = left
      snrRight = snrLeft
      left = high - GOLDEN * (high - low)
      snrLeft = snr(question, Math.exp(left))
    }
  }
  return Math.exp((low + high) / 2)
}

/** SNR, or for a star of no electrons its limit per electron. */
function snr(question: ApertureQuestion, radiusPx: number): number {
  const { starElectrons, backgroundVariancePerPx, backgroundPixels = Infinity } = question
  const captured = capturedFraction({ ...question, radiusPx })
  const pixels = Math.PI * radiusPx ** 2
  const background = pixels * (1 + pixels / backgroundPixels) * backgroundVariancePerPx
  return captured / Math.sqrt(starElectrons * captured + background)
}
