// Items of a JSON list as programs write them, taken into the log without a detour.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- fields are read at indices they have */

import { isLine, LINE_FIELDS, type LineField } from './line-fields.ts'
import { CODES, codesOf, QuickValues, type Codes } from './quick-values.ts'
import { nothingSaid, type SubLog } from './sub-log.ts'

interface NamedField {
  field: LineField
  /** `"name":` */
  written: Codes
}

const NAMED_FIELDS: readonly NamedField[] = [...LINE_FIELDS].map(([name, field]) => ({
  field,
  written: codesOf(`"${name}":`),
}))

export class QuickJson {
  readonly #values: QuickValues
  readonly #log: SubLog
  readonly #said = nothingSaid()
  /** Fields in the order they were met in: most items have the same. */
  readonly #order = [...NAMED_FIELDS]

  constructor(log: SubLog) {
    this.#values = new QuickValues(log)
    this.#log = log
  }

  /**
   * Takes an item, and the comma behind it.
   *
   * @returns where the text goes on; −1, and nothing done, where it has to be read with care
   */
  take(text: string, from: number): number {
    const values = this.#values
    values.begin(text, from)
    this.#said.fill(NaN)
    values.passSpace()
    if (!values.pass(CODES.openBrace) || !this.#takeFields()) return -1
    values.passSpace()
    if (!values.pass(CODES.comma) || !isLine(this.#said)) return -1
    this.#log.countLine()
    this.#log.add(this.#log.lineCount - 1, this.#said)
    return values.at
  }

  #takeFields(): boolean {
    const values = this.#values
    for (let index = 0; ; index++) {
      values.passSpace()
      const field = this.#passName(index)
      if (field === undefined) return false
      values.passSpace()
      if (!this.#takeValue(field)) return false
      values.passSpace()
      if (!values.pass(CODES.comma)) return values.pass(CODES.closeBrace)
    }
  }

  #passName(index: number): LineField | undefined {
    const order = this.#order
    for (let at = index; at < order.length; at++) {
      const { written, field } = order[at]!
      if (!this.#values.passText(written)) continue
      if (at !== index) [order[index], order[at]] = [order[at]!, order[index]!]
      return field
    }
    return undefined
  }

  #takeValue(field: LineField): boolean {
    const values = this.#values
    const isQuoted = field.kind === 'time' || field.kind === 'word'
    if (isQuoted && !values.pass(CODES.quote)) return false
    const value = values.value(field)
    this.#said[field.column] = value
    return !Number.isNaN(value) && (!isQuoted || values.pass(CODES.quote))
  }
}
