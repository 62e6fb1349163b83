// A log as columns of numbers: a hundred thousand lines take some ten megabytes, and are gone through many times.

import { ProblemError } from '../../../contract/problem.ts'
import { MOST_SUBS_LOGGED } from '../../../contract/session-log.ts'
import { BadLines } from './bad-lines.ts'

const COLUMNS = [
  /** In CSV the line of the file, in JSON the index in `subs`. */
  'line',
  'startSeconds',
  'subSeconds',
  /** Index into the names of filters. */
  'filter',
  'backgroundAdu',
  'backgroundElectronsPerPixelSecond',
  'relativeStarFlux',
  'fwhmArcsec',
  'relativeFwhm',
  'sensorCelsius',
  /** 1 or 0. */
  'isAccepted',
  'isSpoiled',
  /** Index into the reasons. */
  'reason',
] as const

type ColumnName = (typeof COLUMNS)[number]

export type Columns = Readonly<Record<ColumnName, Float64Array>>

const columnsOf = (capacity: number) =>
  Object.fromEntries(COLUMNS.map((name) => [name, new Float64Array(capacity)])) as Record<ColumnName, Float64Array>

/** Words by number, each once. */
export class Words {
  readonly list: string[] = []
  readonly #indices = new Map<string, number>()

  /** NaN for no word. */
  indexOf(word: string | undefined): number {
    if (word === undefined) return NaN
    const known = this.#indices.get(word)
    if (known !== undefined) return known
    this.#indices.set(word, this.list.length)
    return this.list.push(word) - 1
  }
}

/** A log that is being read, or was. */
export class SubLog {
  readonly bad: BadLines
  readonly filters = new Words()
  readonly reasons = new Words()
  lineCount = 0
  #count = 0
  #capacity = 1024
  #columns = columnsOf(this.#capacity)

  constructor(isJson: boolean) {
    this.bad = new BadLines(isJson)
  }

  /**
   * Counts a line, whether it can be used or not.
   *
   * @throws {ProblemError} `invalid-request` when there are too many
   */
  countLine(): void {
    this.lineCount++
    if (this.lineCount <= MOST_SUBS_LOGGED) return
    const message = `more than ${MOST_SUBS_LOGGED} lines given; send them in parts`
    throw new ProblemError('invalid-request', 'The log is too long.', [{ pointer: '/subs', message }])
  }

  /** Takes up one more line: columns to write it to, NaN where it says nothing, and its place in them. */
  append(): { columns: Columns; place: number } {
    if (this.#count === this.#capacity) this.#grow()
    return { columns: this.#columns, place: this.#count++ }
  }

  /** The lines that can be used, as they came. */
  get columns(): Columns {
    const all = Object.entries(this.#columns).map(([name, column]) => [name, column.subarray(0, this.#count)])
    return Object.fromEntries(all) as Columns
  }

  #grow(): void {
    this.#capacity *= 2
    const grown = columnsOf(this.#capacity)
    for (const name of COLUMNS) grown[name].set(this.#columns[name])
    this.#columns = grown
  }
}
