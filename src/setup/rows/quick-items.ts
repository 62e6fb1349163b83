// Objects of a JSON list as programs write them, read into rows of numbers without a detour.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- fields are read at indices they have */

import { CODES, QuickValues, type WordNumbers } from './quick-values.ts'
import type { RowField } from './row-fields.ts'

export class QuickItems {
  readonly #values: QuickValues
  /** Fields in the order they were met in: most items have the same. */
  readonly #order: RowField[]
  readonly #width: number

  constructor(fields: ReadonlyMap<string, RowField>, width: number, words: WordNumbers) {
    this.#values = new QuickValues(words)
    this.#order = [...fields.values()]
    this.#width = width
  }

  /** Where reading goes on, in the text. */
  get at(): number {
    return this.#values.at
  }

  /** Where to read next. */
  begin(text: string, at: number): void {
    this.#values.begin(text, at)
  }

  /** Goes on behind space and a character, if it comes next. */
  pass(code: number): boolean {
    this.#values.passSpace()
    return this.#values.pass(code)
  }

  /**
   * Goes on behind an object, a number for each of its fields in the row that begins at `from`: NaN where it says nothing.
   *
   * @returns false where it has to be read with care; what the row holds is of no use then
   */
  take(rows: Float64Array, from: number): boolean {
    for (let column = 0; column < this.#width; column++) rows[from + column] = NaN
    if (!this.pass(CODES.openBrace)) return false
    const values = this.#values
    for (let index = 0; ; index++) {
      values.passSpace()
      const field = this.#passName(index)
      if (field === undefined) return false
      values.passSpace()
      if (!this.#takeValue(field, rows, from)) return false
      values.passSpace()
      if (!values.pass(CODES.comma)) return values.pass(CODES.closeBrace)
    }
  }

  #passName(index: number): RowField | undefined {
    const order = this.#order
    for (let at = index; at < order.length; at++) {
      const field = order[at]!
      if (!this.#values.passText(field.written)) continue
      if (at !== index) [order[index], order[at]] = [order[at]!, order[index]!]
      return field
    }
    return undefined
  }

  #takeValue(field: RowField, rows: Float64Array, from: number): boolean {
    const values = this.#values
    if (field.kind === 'number' || field.kind === 'boolean') return values.take(field, rows, from)
    return values.pass(CODES.quote) && values.take(field, rows, from) && values.pass(CODES.quote)
  }
}
