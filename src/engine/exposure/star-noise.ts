// The CCD equation for one exposure of a star, forwards and backwards.

import { EngineError, requireInRange } from '../errors.ts'

/**
 * n (1 + n/n_B): the pixels of the aperture, and the share of the background estimate's noise that each of them carries.
 */
function effectivePixels({ aperturePixels, backgroundPixels }: StarAperture): number {
  requireInRange('aperturePixels', aperturePixels, 1e-12, 1e12)
  if (backgroundPixels === undefined) return aperturePixels
  requireInRange('backgroundPixels', backgroundPixels, 1, 1e18)
  return aperturePixels * (1 + aperturePixels / backgroundPixels)
}

export interface StarAperture {
  /** n, > 0; need not be whole. */
  aperturePixels: number
  /** n_B, ≥ 1; absent for so many that they add no noise. */
  backgroundPixels?: number
}

/**
 * Variance of the electrons of a star in an aperture.
 *
 *     σ² = N + n (1 + n/n_B) v
 *
 * @param input.starElectrons  N, the electrons that fall into the aperture, ≥ 0
 * @param input.backgroundVariancePerPx  v of one pixel without the star, electrons², ≥ 0: sky, dark current, read noise
 * @returns electrons²
 * @throws {EngineError} `out-of-range`
 * @source Merline & Howell 1995, Exp. Astron. 6, 163; Howell 2006, Handbook of CCD Astronomy, 2nd ed., 4.4 (from memory)
 */
export function starVariance(input: StarAperture & { starElectrons: number; backgroundVariancePerPx: number }): number {
  requireInRange('starElectrons', input.starElectrons, 0, 1e18)
  requireInRange('backgroundVariancePerPx', input.backgroundVariancePerPx, 0, 1e18)
  return input.starElectrons + effectivePixels(input) * input.backgroundVariancePerPx
}

/**
 * Exposure of one sub in which a star reaches a signal-to-noise ratio.
 *
 *     t = [r² (S + mB) + √(r⁴ (S + mB)² + 4 S² r² m R²)]/(2 S²),   m = n (1 + n/n_B)
 *
 * @param input.snr  r, 10⁻⁶ to 10⁶
 * @param input.starElectronsPerSecond  S, in the aperture
 * @param input.backgroundElectronsPerPixelSecond  B, sky and dark current, ≥ 0
 * @param input.readNoiseElectrons  R, ≥ 0
 * @returns seconds, > 0
 * @throws {EngineError} `out-of-range`; `no-signal` below 10⁻¹² electrons per second
 * @derived {@link starVariance} solved for time
 */
export function secondsToStarSnr(
  input: StarAperture & {
    snr: number
    starElectronsPerSecond: number
    backgroundElectronsPerPixelSecond: number
    readNoiseElectrons: number
  },
): number {
  const { snr, starElectronsPerSecond, backgroundElectronsPerPixelSecond, readNoiseElectrons } = input
  requireInRange('snr', snr, 1e-6, 1e6)
  requireInRange('starElectronsPerSecond', starElectronsPerSecond, 0, 1e18)
  requireInRange('backgroundElectronsPerPixelSecond', backgroundElectronsPerPixelSecond, 0, 1e18)
  requireInRange('readNoiseElectrons', readNoiseElectrons, 0, 1e9)
  if (starElectronsPerSecond < 1e-12) {
    throw new EngineError('no-signal', 'The star puts no electrons into the aperture.', {
      field: 'starElectronsPerSecond',
      given: starElectronsPerSecond,
    })
  }
  const pixels = effectivePixels(input)
  const perSecond = snr / starElectronsPerSecond
  const photon = (perSecond * perSecond * (starElectronsPerSecond + pixels * backgroundElectronsPerPixelSecond)) / 2
  return photon + Math.hypot(photon, perSecond * Math.sqrt(pixels) * readNoiseElectrons)
}

/**
 * Error of a magnitude that is measured at a signal-to-noise ratio.
 *
 *     linear (2.5/ln 10)/SNR; exactly 2.5 log₁₀(1 + 1/SNR) to the bright side, −2.5 log₁₀(1 − 1/SNR) to the faint
 *
 * @param input.snr  10⁻⁶ to 10¹²
 * @returns magnitudes, > 0; faintMag null at SNR 1 and below, where one standard deviation reaches down to no star at all
 * @throws {EngineError} `out-of-range`
 * @derived flux plus and minus one standard deviation, in magnitudes
 */
export function magnitudeError({ snr }: { snr: number }): {
  linearMag: number
  brightMag: number
  faintMag: number | null
} {
  requireInRange('snr', snr, 1e-6, 1e12)
  const perNeper = 2.5 / Math.LN10
  return {
    linearMag: perNeper / snr,
    brightMag: perNeper * Math.log1p(1 / snr),
    faintMag: snr > 1 ? -perNeper * Math.log1p(-1 / snr) : null,
  }
}
