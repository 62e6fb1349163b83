// Parts a text in CSV (RFC 4180) that comes in pieces into records of cells, each with the line it begins on. A quote that
// is never closed spoils the line it stands on, and no other.

import Papa from 'papaparse'
import { ProblemError } from '../../../contract/problem.ts'

/** A quoted cell may hold line breaks; a record that still goes on after so many lines was never closed. */
const MOST_LINES_OF_RECORD = 20

const MOST_CHARACTERS_OF_LINE = 65_536

/** Cells of a record; null where its quotes do not fit. */
export type TakeRecord = (cells: readonly string[] | null, line: number) => void

/** Takes a line straight from the text, its end not included; false where it has to be cut into cells first. */
export type TakeLine = (text: string, from: number, to: number, line: number) => boolean

export class CsvRecords {
  readonly #take: TakeRecord
  readonly #takeQuickly: TakeLine
  /** Text of the line that is still coming in. */
  #rest = ''
  #line = 0
  /** Lines of a record whose quote is still open. */
  #open: string[] = []
  #quotes = 0

  constructor(take: TakeRecord, takeQuickly: TakeLine) {
    this.#take = take
    this.#takeQuickly = takeQuickly
  }

  /** @throws {ProblemError} `invalid-request` for a text that has no lines */
  push(piece: string): void {
    let text = this.#rest + piece
    text = text.slice(this.#takeFedLines(text))
    // A line feed that belongs to a carriage return at the very end is still to come.
    const end = text.endsWith('\r') ? text.length - 1 : text.length
    const lines = text.slice(0, end).split('\r')
    this.#rest = (lines.pop() ?? '') + text.slice(end)
    for (const line of lines) this.#takeLine(line)
    if (this.#rest.length <= MOST_CHARACTERS_OF_LINE) return
    const message = `line ${this.#line + 1} has more than ${MOST_CHARACTERS_OF_LINE} characters; wanted: a line for each sub`
    throw new ProblemError('invalid-request', 'The log cannot be read as CSV.', [{ pointer: '/subs', message }])
  }

  /** Takes all lines that end with a line feed; returns where the text goes on. */
  #takeFedLines(text: string): number {
    let from = 0
    for (let feed = text.indexOf('\n'); feed !== -1; feed = text.indexOf('\n', from)) {
      const to = text[feed - 1] === '\r' && feed > from ? feed - 1 : feed
      if (this.#open.length === 0 && this.#takeQuickly(text, from, to, this.#line + 1)) this.#line++
      // A carriage return alone ends a line too.
      else for (const line of text.slice(from, to).split('\r')) this.#takeLine(line)
      from = feed + 1
    }
    return from
  }

  end(): void {
    this.push('\n')
    while (this.#open.length > 0) this.#giveUp()
  }

  #takeLine(text: string): void {
    this.#line++
    // Most lines have no quote, and can be cut at their commas.
    if (this.#open.length === 0 && !text.includes('"')) this.#take(text.split(','), this.#line)
    else this.#takeQuoted(text)
  }

  #takeQuoted(text: string): void {
    this.#open.push(text)
    this.#quotes += text.split('"').length - 1
    if (this.#quotes % 2 === 0) this.#close()
    else if (this.#open.length === MOST_LINES_OF_RECORD) this.#giveUp()
  }

  #close(): void {
    const { data, errors } = Papa.parse<string[]>(this.#open.join('\n'), { delimiter: ',', newline: '\n' })
    const [cells, ...others] = data
    if (errors.length > 0 || cells === undefined || others.length > 0) {
      this.#giveUp()
      return
    }
    const begun = this.#line - this.#open.length + 1
    this.#open = []
    this.#quotes = 0
    this.#take(cells, begun)
  }

  /** Leaves out the first line of what is open, and reads the others once more. */
  #giveUp(): void {
    const [, ...others] = this.#open
    this.#line -= this.#open.length
    this.#open = []
    this.#quotes = 0
    this.#line++
    this.#take(null, this.#line)
    for (const line of others) this.#takeLine(line)
  }
}
