// The stack that calibration frames are judged against.

import { subNoiseTerms, totalVariance } from '../exposure/noise.ts'
import { requireInRange } from '../errors.ts'
import type { PixelRates, Readout } from '../exposure/noise.ts'

export interface CalibratedStack {
  /** Each 0 to 1e9. */
  rates: PixelRates
  /** Read noise 0 to 1e6. */
  readout: Readout
  /** 1e-6 to 1e6. */
  subSeconds: number
  /** N, 1 to 1e7. */
  subCount: number
  /** M, independent pointings the subs are spread over evenly, 1 to 1e7; 1 without dither. */
  ditherPositions: number
}

/**
 * Variance of one sub on one pixel, without calibration.
 *
 * @returns electrons², > 0
 * @throws {EngineError} `out-of-range`, also where there is no noise at all
 * @source as subNoiseTerms
 */
export function stackSubVariance(stack: CalibratedStack): number {
  const { rates, readout } = stack
  requireInRange('targetElectronsPerPixelSecond', rates.targetElectronsPerPixelSecond, 0, 1e9)
  requireInRange('skyElectronsPerPixelSecond', rates.skyElectronsPerPixelSecond, 0, 1e9)
  requireInRange('darkElectronsPerPixelSecond', rates.darkElectronsPerPixelSecond, 0, 1e9)
  requireInRange('readNoiseElectrons', readout.readNoiseElectrons, 0, 1e6)
  requireInRange('quantizationElectrons2', readout.quantizationElectrons2, 0, 1e6)
  requireInRange('subSeconds', stack.subSeconds, 1e-6, 1e6)
  requireInRange('subCount', stack.subCount, 1, 1e7)
  requireInRange('ditherPositions', stack.ditherPositions, 1, 1e7)
  const variance = totalVariance(subNoiseTerms(stack))
  requireInRange('variance of one sub', variance, 1e-12)
  return variance
}
