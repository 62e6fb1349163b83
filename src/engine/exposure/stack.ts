// A stack of N subs: signal adds, independent noise adds in variance, and what calibration leaves adds as often as subs
// share it. All in electrons of the sum.

import { EngineError } from '../errors.ts'
import { calibrationRepeats, calibrationVariance, type Calibration } from './calibration-noise.ts'
import { efficiency, type Combine } from './estimators.ts'
import { noiseBudget, scaledTerms, subNoiseTerms, type NoiseBudget, type PixelRates, type Readout } from './noise.ts'

export interface StackInput {
  rates: PixelRates
  readout: Readout
  subSeconds: number
  subCount: number
  combine: Combine
  calibration: Calibration
}

/**
 * Signal and noise of one pixel of the stack.
 *
 *     SNR = N O t / √(N σ²/efficiency + calibration)
 *
 * @param input.subCount  whole, ≥ 1
 * @returns electrons of the sum of N subs
 * @source Merline & Howell 1995 for σ²; the efficiency of the estimator after Kenney & Keeping 1962
 */
export function stackBudget(input: StackInput): NoiseBudget {
  const { rates, subSeconds, subCount, combine, calibration } = input
  const terms = scaledTerms(subNoiseTerms(input), subCount / efficiency({ combine, count: subCount }))
  terms.calibration = calibrationVariance(input) * calibrationRepeats(subCount, calibration, combine)
  return noiseBudget(subCount * rates.targetElectronsPerPixelSecond * subSeconds, terms)
}

/**
 * The signal-to-noise ratio that no number of subs exceeds.
 *
 *     O t · √M / √(calibration variance per sub)
 *
 * @returns null when calibration leaves no noise, so that there is no ceiling
 * @derived limit of the stack's SNR for N → ∞ at M fixed dither positions
 */
export function ceilingSnr(input: Omit<StackInput, 'subCount' | 'combine'>): number | null {
  const variance = calibrationVariance(input)
  if (variance === 0) return null
  const signalElectrons = input.rates.targetElectronsPerPixelSecond * input.subSeconds
  return (signalElectrons * Math.sqrt(input.calibration.ditherPositions ?? 1)) / Math.sqrt(variance)
}

/** More subs than this are not worth writing down: a century of one-second subs. */
export const MOST_SUBS = 1e9

/**
 * The least number of subs that reaches a signal-to-noise ratio.
 *
 * @param snrOf  SNR of a stack of N subs; must not fall with N
 * @param snr  the goal, > 0
 * @param ceiling  the limit of snrOf, null when it has none
 * @returns whole, ≥ 1
 * @throws {EngineError} `goal-above-ceiling`, `no-solution`
 * @derived halving of the bracket over whole numbers
 */
export function leastSubCount(snrOf: (subCount: number) => number, snr: number, ceiling: number | null): number {
  if (ceiling !== null && snr >= ceiling) {
    throw new EngineError('goal-above-ceiling', `A signal-to-noise ratio of ${snr} lies above the ceiling.`, {
      field: 'snr',
      given: snr,
      facts: { ceilingSnr: ceiling },
    })
  }
  if (snrOf(MOST_SUBS) < snr) {
    throw new EngineError('no-solution', `More than ${MOST_SUBS} subs would be needed.`, { field: 'snr', given: snr })
  }
  let tooFew = 0
  let enough = MOST_SUBS
  while (enough - tooFew > 1) {
    const middle = Math.floor((tooFew + enough) / 2)
    if (snrOf(middle) >= snr) enough = middle
    else tooFew = middle
  }
  return enough
}

/**
 * The same number as a real one, for small changes about a known answer.
 *
 *     N = s² v/(Q² − s² c/M) for N > M;   s² (v + c)/Q² for N ≤ M
 *
 * @param input.signalElectrons  Q, of one sub
 * @param input.variance  v, independent noise of one sub, over the estimator's efficiency
 * @param input.calibrationVariance  c, of one sub
 * @param input.ditherPositions  M ≥ 1
 * @returns null when the goal lies above the ceiling
 * @derived SNR² = N² Q²/(N v + N² c/min(M, N)) solved for N
 */
export function realSubCount(input: {
  signalElectrons: number
  variance: number
  calibrationVariance: number
  ditherPositions: number
  snr: number
}): number | null {
  const { signalElectrons, variance, calibrationVariance, ditherPositions, snr } = input
  const undithered = (snr ** 2 * (variance + calibrationVariance)) / signalElectrons ** 2
  if (undithered <= ditherPositions) return undithered
  const room = signalElectrons ** 2 - (snr ** 2 * calibrationVariance) / ditherPositions
  const count = (snr ** 2 * variance) / room
  return room > 0 && Number.isFinite(count) ? count : null
}
