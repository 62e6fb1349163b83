// A stack of subs that are added up as they are, without weights.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { flattened, type AccountModel } from './account-model.ts'
import type { SubTerms } from './account-terms.ts'

/** Subs added up as they are; any can be put in and taken out again. */
export class EqualStack {
  readonly #terms: SubTerms
  readonly #model: AccountModel
  readonly #positions: number
  readonly #flat: number
  readonly #counts: Float64Array
  #count = 0
  #signal = 0
  #background = 0
  #variance = 0
  /** Σ of what the flat leaves were it independent from sub to sub. */
  #ownFlat = 0
  /** What master darks leave. */
  #dark = 0

  constructor(terms: SubTerms, model: AccountModel) {
    this.#terms = terms
    this.#model = model
    this.#positions = model.calibration.ditherPositions ?? 1
    this.#flat = masterFlatRelativeVariance(model.calibration)
    this.#counts = new Float64Array(model.masters.length)
  }

  static of(terms: SubTerms, model: AccountModel): EqualStack {
    const stack = new EqualStack(terms, model)
    for (let index = 0; index < terms.signals.length; index++) stack.move(index, 1)
    return stack
  }

  /** @param by  1 to put a sub in, −1 to take it out */
  move(index: number, by: 1 | -1): void {
    const { signals, variances, backgrounds, masters } = this.#terms
    const signal = signals[index]!
    const background = backgrounds[index]!
    const master = masters[index]!
    const before = this.#counts[master]!
    this.#counts[master] = before + by
    this.#count += by
    this.#signal += by * signal
    this.#background += by * background
    this.#variance += by * variances[index]!
    this.#ownFlat += by * this.#flat * flattened(signal, background, this.#model)
    this.#dark += this.#model.masters[master]! * (this.#repeats(before + by) - this.#repeats(before))
  }

  /** How often the error of a master counts: M groups of N/M subs that share it; at most one for each sub. */
  #repeats(count: number): number {
    return count <= this.#positions ? count / this.#model.efficiency : count ** 2 / this.#positions
  }

  /**
   * Squared signal-to-noise ratio of the sum.
   *
   *     (Σ a)²/[Σ v + n Σ_m d_m N_m²/M + f ‖Σ (light + background)‖²/M]
   *
   * @returns 0 without signal
   * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory) for v
   * @derived as `calibrationRepeats` for subs alike: M groups, each with 1/M of every sum, add in variance
   */
  get information(): number {
    const { efficiency, effectivePixels } = this.#model
    const flat =
      this.#count <= this.#positions
        ? this.#ownFlat / efficiency
        : (this.#flat * flattened(this.#signal, this.#background, this.#model)) / this.#positions
    const noise = this.#variance / efficiency + effectivePixels * this.#dark + flat
    // With nothing in it, rounding of what was taken out again would be all there is.
    return this.#count === 0 || this.#signal === 0 ? 0 : this.#signal ** 2 / noise
  }

  /** The same without what calibration adds, not squared. */
  get independentSnr(): number {
    return this.#signal === 0 ? 0 : this.#signal / Math.sqrt(this.#variance / this.#model.efficiency)
  }

  /**
   * The signal-to-noise ratio that no number of subs like these exceeds.
   *
   * @returns null when calibration leaves no noise, or there is no signal to judge by
   * @derived limit of the ratio for ever more of the same subs at M fixed pointings
   */
  get ceilingSnr(): number | null {
    const { masters, effectivePixels } = this.#model
    const dark = this.#counts.reduce((sum, count, index) => sum + masters[index]! * count ** 2, 0)
    const flat = this.#flat * flattened(this.#signal, this.#background, this.#model)
    const variance = (effectivePixels * dark + flat) / this.#positions
    return variance === 0 || this.#signal === 0 ? null : this.#signal / Math.sqrt(variance)
  }
}
