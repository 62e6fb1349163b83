// Cuts the items of one long list out of a JSON text that comes in pieces, so that neither the text nor the list is ever
// held as a whole. What is left is the same object with an empty list, and is read as any body is.

import { ProblemError } from '../contract/problem.ts'
import type { ItemTaker } from '../routes/endpoint.ts'
import { JsonMarks, marksOf } from './json-marks.ts'
import { parseJson } from './json-text.ts'
import { TextPlace } from './text-place.ts'

/** Depth of what stands in the top object, and of the items of its list. */
const TOP = 1
const ITEMS = 2

/** Characters that an item may have, and all that stands beside the list. */
const MOST_CHARACTERS = 65_536

const ALL_MARKS = marksOf('[]{},:')
const MARKS_WITHIN_ITEM = marksOf('[]{}')

export class ListCutter {
  /** Whether the list was found; one whose name is written with escapes is left where it is. */
  isFound = false
  readonly #field: string
  readonly #taker: ItemTaker
  /** Where what is not yet cut off begins. */
  readonly #place = new TextPlace()
  readonly #marks = new JsonMarks()
  /** What stood before the items, the opening bracket included. */
  #head = ''
  #depth = 0
  #isListNext = false
  #isInList = false
  #itemFrom = 0
  #items = 0

  constructor(field: string, taker: ItemTaker) {
    this.#field = field
    this.#taker = taker
  }

  /**
   * @throws {ProblemError} `unreadable-request` or `invalid-request` for an item that cannot be read, `body-too-large` for
   *   one out of all proportion
   */
  push(piece: string): void {
    this.#marks.push(piece)
    while (this.#step());
    if (this.#isInList) this.#cutOff(this.#itemFrom)
    if (this.#head.length + this.#marks.text.length <= MOST_CHARACTERS) return
    const what = this.#isInList ? `An item of \`${this.#field}\`` : `What stands beside \`${this.#field}\``
    throw new ProblemError('body-too-large', `${what} may have ${MOST_CHARACTERS} characters.`)
  }

  /**
   * The object without the items.
   *
   * @throws {ProblemError} as {@link parseJson} does
   */
  end(): unknown {
    return this.#read(this.#head + (this.#isInList && this.#items > 0 ? '0,' : ''), this.#marks.text)
  }

  /** Goes on to the next mark; false where there is none yet. */
  #step(): boolean {
    if (this.#isInList && this.#marks.at === this.#itemFrom && this.#depth === ITEMS) this.#takeQuickly()
    const mark = this.#marks.next(this.#isInList && this.#depth > ITEMS ? MARKS_WITHIN_ITEM : ALL_MARKS)
    if (mark === undefined) return false
    if (this.#isInList && this.#depth === ITEMS) this.#between(mark)
    else this.#outside(mark)
    return true
  }

  #takeQuickly(): void {
    const marks = this.#marks
    const next = () => this.#taker.takeQuickly(marks.text, this.#itemFrom)
    for (let at = next(); at !== -1; at = next()) {
      this.#items++
      this.#itemFrom = at
    }
    marks.at = this.#itemFrom
  }

  /** A mark that belongs to no item of the list, or stands within one. */
  #outside(mark: string): void {
    if (mark === '{' || mark === '[') {
      this.#depth++
      if (mark === '[' && this.#depth === ITEMS && this.#isListNext) this.#beginList()
    } else if (mark === '}' || mark === ']') this.#depth--
    else if (this.#depth === TOP)
      this.#isListNext = mark === ':' && !this.isFound && this.#marks.lastString === this.#field
  }

  /** A mark between two items. */
  #between(mark: string): void {
    if (mark === ',') this.#item()
    else if (mark === ']') this.#endList()
    else if (mark === '{' || mark === '[') this.#depth++
  }

  #beginList(): void {
    this.isFound = true
    this.#isInList = true
    this.#isListNext = false
    this.#head = this.#marks.text.slice(0, this.#marks.at)
    this.#cutOff(this.#marks.at)
  }

  #item(): void {
    const text = this.#upTo(this.#marks.at - 1)
    // Nothing with a comma behind it cannot be read, and reading it says so.
    if (isBlank(text)) this.#read('[', this.#upTo(this.#marks.at))
    this.#taker.take(this.#readItem(text))
    this.#items++
    this.#itemFrom = this.#marks.at
  }

  #endList(): void {
    const text = this.#upTo(this.#marks.at - 1)
    if (!isBlank(text)) this.#taker.take(this.#readItem(text))
    else if (this.#items > 0) this.#read('[0,', this.#upTo(this.#marks.at))
    this.#cutOff(this.#marks.at - 1)
    this.#isInList = false
    this.#depth--
  }

  #upTo(end: number): string {
    return this.#marks.text.slice(this.#itemFrom, end)
  }

  #readItem(text: string): unknown {
    try {
      return this.#read('', text)
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error
      const { kind, message, errors } = error
      const pointer = `/${this.#field}/${this.#items}`
      throw new ProblemError(
        kind,
        message,
        errors.map((it) => ({ ...it, pointer: pointer + it.pointer })),
      )
    }
  }

  /** Reads a part of the text behind some characters that stand elsewhere. */
  #read(before: string, part: string): unknown {
    const passed = this.#marks.text.slice(0, this.#itemFrom)
    return parseJson(before + part, 'The body', (read) =>
      read.length < before.length ? new TextPlace().after(read) : this.#place.after(passed + read.slice(before.length)),
    )
  }

  /** Forgets what was taken. */
  #cutOff(characters: number): void {
    this.#place.pass(this.#marks.text.slice(0, characters))
    this.#marks.cutOff(characters)
    this.#itemFrom = 0
  }
}

const isBlank = (text: string) => text.trim() === ''
