// Items of a JSON list as programs write them, taken into the log without a detour.

import { QuickItems } from '../../../setup/rows/quick-items.ts'
import { CODES } from '../../../setup/rows/quick-values.ts'
import { isLine, LINE_FIELDS } from './line-fields.ts'
import { nothingSaid, type SubLog } from './sub-log.ts'

export class QuickJson {
  readonly #items: QuickItems
  readonly #log: SubLog
  readonly #said = nothingSaid()

  constructor(log: SubLog) {
    this.#items = new QuickItems(LINE_FIELDS, this.#said.length, log)
    this.#log = log
  }

  /**
   * Takes an item, and the comma behind it.
   *
   * @returns where the text goes on; −1, and nothing done, where it has to be read with care
   */
  take(text: string, from: number): number {
    const items = this.#items
    items.begin(text, from)
    if (!items.take(this.#said, 0) || !items.pass(CODES.comma) || !isLine(this.#said)) return -1
    this.#log.countLine()
    this.#log.add(this.#log.lineCount - 1, this.#said)
    return items.at
  }
}
