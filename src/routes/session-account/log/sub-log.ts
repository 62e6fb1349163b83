// A log as columns of numbers: a hundred thousand lines take some ten megabytes, and are gone through many times.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns are read at indices they have */

import { ProblemError } from '../../../contract/problem.ts'
import { MOST_SUBS_LOGGED } from '../../../contract/session-log.ts'
import { epochReader } from '../../../setup/epoch.ts'
import { NumberedWords } from '../../../setup/numbered-words.ts'
import { BadLines } from './bad-lines.ts'

export const COLUMNS = [
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

export type ColumnName = (typeof COLUMNS)[number]

export type Columns = Readonly<Record<ColumnName, Float64Array>>

const LINE = COLUMNS.indexOf('line')
const FILTER = COLUMNS.indexOf('filter')
const IS_ACCEPTED = COLUMNS.indexOf('isAccepted')
const IS_SPOILED = COLUMNS.indexOf('isSpoiled')

/** What a line says, a number for each column: NaN where it says nothing. */
export type Said = Float64Array

export const nothingSaid = (): Said => new Float64Array(COLUMNS.length).fill(NaN)

const columnsOf = (capacity: number) => COLUMNS.map(() => new Float64Array(capacity))

/** Memory that nothing was written to is no memory yet, while a column grown many times over leaves much behind. */
const GROWTH = 16

/** A log that is being read, or was. */
export class SubLog {
  readonly bad: BadLines
  readonly filters = new NumberedWords()
  readonly reasons = new NumberedWords()
  /** Seconds since 1970 of the time of a line. */
  readonly secondsOf = epochReader()
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

  /** Of a column, the number of a word that some line has had; NaN for any other. */
  numberOf(field: { column: number }, word: string): number {
    return this.wordsOf(field).known(word)
  }

  /** The words of a column. */
  wordsOf({ column }: { column: number }): NumberedWords {
    return column === FILTER ? this.filters : this.reasons
  }

  /** Takes up one more line. */
  add(line: number, said: Said): void {
    if (this.#count === this.#capacity) this.#grow()
    const isAccepted = said[IS_ACCEPTED] === 0 ? 0 : 1
    said[LINE] = line
    said[IS_ACCEPTED] = isAccepted
    if (Number.isNaN(said[IS_SPOILED])) said[IS_SPOILED] = 1 - isAccepted
    const place = this.#count++
    for (let column = 0; column < COLUMNS.length; column++) this.#columns[column]![place] = said[column]!
  }

  /** The lines that can be used, as they came. */
  get columns(): Columns {
    const all = COLUMNS.map((name, column) => [name, this.#columns[column]!.subarray(0, this.#count)])
    return Object.fromEntries(all) as Columns
  }

  #grow(): void {
    this.#capacity = Math.min(GROWTH * this.#capacity, MOST_SUBS_LOGGED)
    const grown = columnsOf(this.#capacity)
    grown.forEach((column, index) => {
      column.set(this.#columns[index]!)
    })
    this.#columns = grown
  }
}
