// Subs as programs write them, taken straight from the text of a body: neither an object for each nor a look at the schema.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { MOST_SESSION_SUBS } from '../../contract/session-check.ts'
import { SessionSubSchema } from '../../contract/session-check-sub.ts'
import { epochReader } from '../../setup/epoch.ts'
import { NumberedWords } from '../../setup/numbered-words.ts'
import { QuickItems } from '../../setup/rows/quick-items.ts'
import { CODES } from '../../setup/rows/quick-values.ts'
import { rowFields, type RowField } from '../../setup/rows/row-fields.ts'
import type { TakenList } from '../endpoint.ts'
import { emptyColumns, TABLE_COLUMNS, type SubTable, type TableColumn } from './sub-table.ts'

const FIELDS = rowFields(SessionSubSchema.shape, (name) =>
  TABLE_COLUMNS.indexOf(name === 'startedAt' ? 'startSeconds' : (name as TableColumn)),
)
const REQUIRED = [...FIELDS.values()].filter(({ isRequired }) => isRequired).map(({ column }) => column)

const WIDTH = TABLE_COLUMNS.length
const FEW_SUBS = 128

class QuickSubs {
  readonly #labels = new NumberedWords()
  readonly #items = new QuickItems(FIELDS, WIDTH, {
    secondsOf: epochReader(),
    numberOf: (field: RowField, word: string) => (field.allows(word) ? this.#labels.indexOf(word) : NaN),
  })
  #rows = new Float64Array(FEW_SUBS * WIDTH)
  #count = 0

  take(text: string, from: number): TakenList<SubTable> | null {
    for (let at = from; ; at = this.#items.at) {
      this.#items.begin(text, at)
      if (!this.#takeSub()) return null
      if (this.#items.pass(CODES.comma)) continue
      return this.#items.pass(CODES.closeBracket) ? { items: this.#table(), end: this.#items.at } : null
    }
  }

  #takeSub(): boolean {
    if (this.#count === MOST_SESSION_SUBS) return false
    const from = this.#count * WIDTH
    if (from === this.#rows.length) this.#grow()
    if (!this.#items.take(this.#rows, from)) return false
    this.#count++
    for (const column of REQUIRED) if (Number.isNaN(this.#rows[from + column])) return false
    return true
  }

  #grow(): void {
    const grown = new Float64Array(4 * this.#rows.length)
    grown.set(this.#rows)
    this.#rows = grown
  }

  #table(): SubTable {
    const columns = emptyColumns(this.#count)
    TABLE_COLUMNS.forEach((name, column) => {
      const numbers = columns[name]
      for (let at = 0; at < this.#count; at++) numbers[at] = this.#rows[at * WIDTH + column]!
    })
    const { accepted } = columns
    for (let at = 0; at < this.#count; at++) if (Number.isNaN(accepted[at])) accepted[at] = 1
    return { count: this.#count, columns, labels: this.#labels.list }
  }
}

/** The subs of the list that begins at a place in a text; null where they have to be read with care. */
export function quickSubs(text: string, from: number): TakenList<SubTable> | null {
  return new QuickSubs().take(text, from)
}
