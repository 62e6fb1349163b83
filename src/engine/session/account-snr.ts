// What a stack is worth: its signal over its noise, what calibration leaves in it, and where that ends.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import type { AccountModel } from './account-model.ts'
import { flattened, type StackSums } from './account-stack.ts'

/**
 * Variance that calibration leaves in a stack.
 *
 *     N ≤ M: Σ w² c;   N > M: [n Σ_m d_m (Σ_m w)² + f ‖Σ w (light + background)‖²]/M
 *
 * Subs at one pointing share the error of their master dark and of the flat, so there it adds as an amplitude, and no choice
 * of weights averages it away; M pointings, over which the subs are spread evenly, each have an error of their own. Subs
 * of another length have another master dark.
 *
 * @returns electrons², ≥ 0
 * @derived as `calibrationRepeats` for subs alike: M groups, each with 1/M of every sum, add in variance
 */
export function stackCalibrationVariance(sums: StackSums, model: AccountModel): number {
  const positions = model.calibration.ditherPositions ?? 1
  if (sums.count <= positions) return sums.calibration
  return sharedCalibrationVariance(sums, model) / positions
}

function sharedCalibrationVariance(sums: StackSums, model: AccountModel): number {
  const darks = sums.byMaster.reduce((sum, weight, index) => sum + model.masters[index]! * weight ** 2, 0)
  return (
    darks * model.effectivePixels +
    masterFlatRelativeVariance(model.calibration) * flattened(sums.light, sums.signal, sums.background, model)
  )
}

/**
 * Signal-to-noise ratio of a stack.
 *
 *     Σ w a/√(Σ w² v + calibration)
 *
 * @returns 0 for a stack without signal
 * @source Merline & Howell 1995 for v
 */
export function stackSnr(sums: StackSums, model: AccountModel): number {
  const variance = sums.variance + stackCalibrationVariance(sums, model)
  return sums.signal === 0 ? 0 : sums.signal / Math.sqrt(variance)
}

/**
 * The same without what calibration adds.
 *
 * @returns √(Σ a²/v) for inverse-variance weights; 0 for a stack without signal
 * @derived as {@link stackSnr}
 */
export function independentSnr({ signal, variance }: StackSums): number {
  return signal === 0 ? 0 : signal / Math.sqrt(variance)
}

/**
 * The signal-to-noise ratio that no number of subs like these exceeds.
 *
 * @returns null when calibration leaves no noise, or there is no signal to judge by
 * @derived limit of {@link stackSnr} for ever more of the same subs at M fixed pointings
 */
export function stackCeilingSnr(sums: StackSums, model: AccountModel): number | null {
  const variance = sharedCalibrationVariance(sums, model) / (model.calibration.ditherPositions ?? 1)
  return variance === 0 || sums.signal === 0 ? null : sums.signal / Math.sqrt(variance)
}
