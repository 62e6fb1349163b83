// A stack of subs that are added up as they are, without weights.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { flattened, type AccountModel } from './account-model.ts'
import type { SubTerms } from './account-terms.ts'

/** Sums over the subs of a stack: how many, Σ a, Σ b, Σ v, Σ of what the flat leaves on each alone, Σ of the masters. */
const SUMS = 6
const [COUNT, SIGNAL, BACKGROUND, VARIANCE, OWN_FLAT, DARK] = [0, 1, 2, 3, 4, 5] as const

/** Subs added up as they are; any can be put in and taken out again. */
export class EqualStack {
  readonly #terms: SubTerms
  readonly #model: AccountModel
  readonly #positions: number
  readonly #flat: number
  readonly #counts: Float64Array
  readonly #sums = new Float64Array(SUMS)
  /** The sums of a stack that is only tried. */
  readonly #tried = new Float64Array(SUMS)

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
    this.#sumsWith(index, by, this.#sums)
    const master = this.#terms.masters[index]!
    this.#counts[master] = this.#counts[master]! + by
  }

  #sumsWith(index: number, by: 1 | -1, into: Float64Array): void {
    const { signals, variances, backgrounds, masters } = this.#terms
    const sums = this.#sums
    const signal = signals[index]!
    const background = backgrounds[index]!
    const master = masters[index]!
    const before = this.#counts[master]!
    into[COUNT] = sums[COUNT]! + by
    into[SIGNAL] = sums[SIGNAL]! + by * signal
    into[BACKGROUND] = sums[BACKGROUND]! + by * background
    into[VARIANCE] = sums[VARIANCE]! + by * variances[index]!
    into[OWN_FLAT] = sums[OWN_FLAT]! + by * this.#flat * flattened(signal, background, this.#model)
    into[DARK] = sums[DARK]! + this.#model.masters[master]! * (this.#repeats(before + by) - this.#repeats(before))
  }

  /** How often the error of a master counts: M groups of N/M subs that share it; at most one for each sub. */
  #repeats(count: number): number {
    return count <= this.#positions ? count / this.#model.efficiency : (count * count) / this.#positions
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
    return this.#informationOf(this.#sums)
  }

  /**
   * The same with one sub put in or taken out, the stack left as it is.
   *
   * @returns 0 without signal
   * @derived {@link information} of the other sums
   */
  informationWith(index: number, by: 1 | -1): number {
    this.#sumsWith(index, by, this.#tried)
    return this.#informationOf(this.#tried)
  }

  #informationOf(sums: Float64Array): number {
    const { efficiency, effectivePixels } = this.#model
    const count = sums[COUNT]!
    const signal = sums[SIGNAL]!
    const flat =
      count <= this.#positions
        ? sums[OWN_FLAT]! / efficiency
        : (this.#flat * flattened(signal, sums[BACKGROUND]!, this.#model)) / this.#positions
    const noise = sums[VARIANCE]! / efficiency + effectivePixels * sums[DARK]! + flat
    // With nothing in it, rounding of what was taken out again would be all there is.
    return count === 0 || signal === 0 ? 0 : (signal * signal) / noise
  }

  /** The same without what calibration adds, not squared. */
  get independentSnr(): number {
    const signal = this.#sums[SIGNAL]!
    return signal === 0 ? 0 : signal / Math.sqrt(this.#sums[VARIANCE]! / this.#model.efficiency)
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
    const signal = this.#sums[SIGNAL]!
    const flat = this.#flat * flattened(signal, this.#sums[BACKGROUND]!, this.#model)
    const variance = (effectivePixels * dark + flat) / this.#positions
    return variance === 0 || signal === 0 ? null : signal / Math.sqrt(variance)
  }
}
