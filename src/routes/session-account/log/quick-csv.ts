// Rows of CSV as programs write them, taken into the log without a detour.

import { CODES, QuickValues } from '../../../setup/rows/quick-values.ts'
import type { RowField } from '../../../setup/rows/row-fields.ts'
import { isLine } from './line-fields.ts'
import { nothingSaid, type SubLog } from './sub-log.ts'

export class QuickCsv {
  readonly #values: QuickValues
  readonly #log: SubLog
  readonly #fields: readonly RowField[]
  readonly #said = nothingSaid()

  /** @param fields  those of the columns, in their order */
  constructor(fields: readonly RowField[], log: SubLog) {
    this.#values = new QuickValues(log)
    this.#log = log
    this.#fields = fields
  }

  /** Takes the row that ends at `to`; false, and nothing done, where it has to be read with care. */
  take(text: string, from: number, to: number, line: number): boolean {
    const values = this.#values
    values.begin(text, from)
    this.#said.fill(NaN)
    let isFirst = true
    for (const field of this.#fields) {
      if (!isFirst && !values.pass(CODES.comma)) return false
      isFirst = false
      if (values.at < to && values.next !== CODES.comma && !this.#takeCell(field)) return false
    }
    if (values.at !== to || !isLine(this.#said)) return false
    this.#log.countLine()
    this.#log.add(line, this.#said)
    return true
  }

  #takeCell(field: RowField): boolean {
    return (field.kind === 'boolean' && this.#takeDigit(field)) || this.#values.take(field, this.#said, 0)
  }

  #takeDigit(field: RowField): boolean {
    const { zero, one } = CODES
    const isOne = this.#values.pass(one)
    if (!isOne && !this.#values.pass(zero)) return false
    this.#said[field.column] = Number(isOne)
    return true
  }
}
