// What the residuals of a dark current fit are measured against: the uncertainties given, or the scatter about the fit.

import type { ThermalModel } from './dark-thermal-model.ts'

/** Variance of ln(rate) below which rounding shows instead of scatter. */
const ROUNDING_VARIANCE = 1e-18

export interface FitQuality {
  model: Pick<ThermalModel, 'chiSquare' | 'degreesOfFreedom'>
  /** Whether the weights came from given uncertainties. */
  given: boolean
}

/**
 * Factor that turns the model's variances into those of its parameters.
 *
 * @returns 1 when given (they are taken at their word), else the reduced chi-square; null when nothing is left over to judge the scatter by
 * @source Bevington & Robinson 2003, Data Reduction and Error Analysis, 6.4 (from memory)
 */
export function uncertaintyScale(input: FitQuality): number | null {
  const { chiSquare, degreesOfFreedom } = input.model
  if (input.given) return 1
  return degreesOfFreedom > 0 ? Math.max(chiSquare / degreesOfFreedom, ROUNDING_VARIANCE) : null
}

/**
 * Factor for judging one residual, or one more parameter: as uncertaintyScale, but given uncertainties that the fit shows
 * to be too small are widened, so that they do not condemn every point.
 *
 * @param input.model  with degrees of freedom left over
 * @returns > 0; at least 1 when given
 * @source Birge 1932, Phys. Rev. 40, 207 (from memory): the larger of internal and external consistency
 */
export function judgementScale(input: FitQuality): number {
  const { chiSquare, degreesOfFreedom } = input.model
  return Math.max(chiSquare / degreesOfFreedom, input.given ? 1 : ROUNDING_VARIANCE)
}
