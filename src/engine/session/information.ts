// What a sub is worth, by what was measured on it: information is the square of its signal-to-noise ratio, and adds over
// subs that are weighted by it.

import type { Readout } from '../exposure/noise.ts'

export interface MeasuredYield {
  /** Electrons of the target. */
  signalElectrons: number
  /** Electrons². */
  variance: number
}

/**
 * What one pixel of a sub holds of an extended target.
 *
 *     signal T O t;   variance (T O + S + D) t + R² + K²/12
 *
 * @param input.transparency  T, light that got through against the reference, ≥ 0
 * @param input.targetElectronsPerSecond  O, at the reference
 * @param input.backgroundElectronsPerSecond  S + D as measured; a negative one, from noise about nothing, counts as none
 * @param input.readout  the noise of one read
 * @returns electrons and electrons²
 * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory)
 */
export function measuredYield(input: {
  transparency: number
  targetElectronsPerSecond: number
  backgroundElectronsPerSecond: number
  readout: Readout
  subSeconds: number
}): MeasuredYield {
  const { transparency, targetElectronsPerSecond, subSeconds, readout } = input
  const signalElectrons = transparency * targetElectronsPerSecond * subSeconds
  const background = Math.max(0, input.backgroundElectronsPerSecond) * subSeconds
  const variance = signalElectrons + background + readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  return { signalElectrons, variance }
}

/**
 * Information of one sub.
 *
 * @returns SNR², ≥ 0; 0 without variance
 * @derived signal squared over variance
 */
export function informationOf({ signalElectrons, variance }: MeasuredYield): number {
  return variance > 0 ? signalElectrons ** 2 / variance : 0
}

/**
 * What subs hold together: Σ sᵢ and Σ vᵢ of their plain sum, and the information of their stack.
 *
 * @derived sums
 */
export class YieldSum implements MeasuredYield {
  count = 0
  signalElectrons = 0
  variance = 0
  #information = 0

  static of(yields: readonly MeasuredYield[]): YieldSum {
    const sum = new YieldSum()
    for (const one of yields) sum.add(one)
    return sum
  }

  add(one: MeasuredYield): void {
    this.count++
    this.signalElectrons += one.signalElectrons
    this.variance += one.variance
    this.#information += informationOf(one)
  }

  /**
   * Information of the stack.
   *
   *     weighted by each sub's worth: Σ sᵢ²/vᵢ;   all alike: (Σ sᵢ)²/Σ vᵢ
   *
   * @param weights  `optimal` for weights sᵢ/vᵢ, `equal` for a plain sum
   * @returns SNR², ≥ 0; 0 without subs
   * @derived Cauchy-Schwarz: no other weights give more than the first form
   */
  information(weights: 'optimal' | 'equal'): number {
    return weights === 'equal' ? informationOf(this) : this.#information
  }
}

/**
 * How many more subs, all alike, bring a plain sum to some information.
 *
 *     (S + n s)²/(V + n v) = I
 *
 * @param held  S and V of the sum so far, which holds less than I
 * @param one  s and v of each sub to come
 * @param information  I > 0, SNR² wanted
 * @returns a real number ≥ 0; Infinity where they bring no signal
 * @derived larger root of s² n² + (2 S s − I v) n + S² − I V = 0: below I the product of the roots is negative
 */
export function subsToPlainSum(held: MeasuredYield, one: MeasuredYield, information: number): number {
  const square = one.signalElectrons ** 2
  if (square === 0) return Infinity
  const half = (information * one.variance) / 2 - held.signalElectrons * one.signalElectrons
  const short = information * held.variance - held.signalElectrons ** 2
  return Math.max(0, (half + Math.sqrt(Math.max(0, half ** 2 + square * short))) / square)
}

/**
 * Information of a stack whose subs share a calibration error.
 *
 *     1/SNR² = 1/information + 1/ceiling²
 *
 * @param ceilingSnr  the ratio that no number of subs exceeds; null without such an error
 * @returns SNR², below that of the subs alone
 * @derived variance N v of the subs and N² c/M of the error, over the squared signal N² s²
 */
export function underCeiling(information: number, ceilingSnr: number | null): number {
  return ceilingSnr === null ? information : (information * ceilingSnr ** 2) / (information + ceilingSnr ** 2)
}

/**
 * Information that the subs must hold so that the stack reaches a ratio under a ceiling: the inverse of underCeiling.
 *
 * @returns null when the ceiling is not above the ratio
 * @derived underCeiling solved for the information
 */
export function informationFor(snr: number, ceilingSnr: number | null): number | null {
  if (ceilingSnr === null) return snr ** 2
  return ceilingSnr > snr ? (snr * ceilingSnr) ** 2 / (ceilingSnr ** 2 - snr ** 2) : null
}

/**
 * Whether a sub raises the ratio of a plain mean of many typical subs.
 *
 *     v < 2 (s/s₀) v₀
 *
 * @param typical  s₀ and v₀ of the many
 * @returns true also for a sub as good as they are
 * @derived (N s₀ + s)²/(N v₀ + v) > N s₀²/v₀ for N → ∞
 */
export function raisesPlainMean(sub: MeasuredYield, typical: MeasuredYield): boolean {
  return sub.variance * typical.signalElectrons < 2 * sub.signalElectrons * typical.variance
}
