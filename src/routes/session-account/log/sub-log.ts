// A log as columns of numbers: a hundred thousand lines take some eight megabytes, and are gone through many times.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns are read at indices they have */

import { ProblemError } from '../../../contract/problem.ts'
import { MOST_SUBS_LOGGED } from '../../../contract/session-log.ts'
import { ColumnMemory } from '../../../engine/index.ts'
import { epochReader } from '../../../setup/epoch.ts'
import { NumberedWords } from '../../../setup/numbered-words.ts'
import { BadLines } from './bad-lines.ts'
import { leaveMemory, usedMemory } from './used-memory.ts'

const MEASURES = [
  'startSeconds',
  'subSeconds',
  'backgroundAdu',
  'backgroundElectronsPerPixelSecond',
  'relativeStarFlux',
  'fwhmArcsec',
  'relativeFwhm',
  'sensorCelsius',
] as const

/** Small whole numbers, for which half the memory will do. */
const MARKS = [
  /** Index into the names of filters. */
  'filter',
  /** 1 or 0. */
  'isAccepted',
  'isSpoiled',
  /** Index into the reasons. */
  'reason',
] as const

export const COLUMNS = [...MEASURES, ...MARKS] as const

export type ColumnName = (typeof COLUMNS)[number]

export interface Columns
  extends
    Readonly<Record<(typeof MEASURES)[number], Float64Array>>,
    Readonly<Record<(typeof MARKS)[number], Float32Array>> {
  /** In CSV the line of the file, in JSON the index in `subs`. */
  readonly line: Uint32Array
}

const FILTER = COLUMNS.indexOf('filter')
const IS_ACCEPTED = COLUMNS.indexOf('isAccepted')
const IS_SPOILED = COLUMNS.indexOf('isSpoiled')

/** What a line says, a number for each column: NaN where it says nothing. */
export type Said = Float64Array

export const nothingSaid = (): Said => new Float64Array(COLUMNS.length).fill(NaN)

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
  /** Of a long log. */
  #memory: ColumnMemory | null = null
  #lines: Uint32Array = new Uint32Array(this.#capacity)
  #measures: Float64Array[] = MEASURES.map(() => new Float64Array(this.#capacity))
  #marks: Float32Array[] = MARKS.map(() => new Float32Array(this.#capacity))

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
    said[IS_ACCEPTED] = isAccepted
    if (Number.isNaN(said[IS_SPOILED])) said[IS_SPOILED] = 1 - isAccepted
    const place = this.#count++
    this.#lines[place] = line
    for (let column = 0; column < MEASURES.length; column++) this.#measures[column]![place] = said[column]!
    for (let mark = 0; mark < MARKS.length; mark++) this.#marks[mark]![place] = said[MEASURES.length + mark]!
  }

  /** The lines that can be used, as they came. */
  get columns(): Columns {
    const all = [
      ['line', this.#lines] as const,
      ...MEASURES.map((name, column) => [name, this.#measures[column]!] as const),
      ...MARKS.map((name, mark) => [name, this.#marks[mark]!] as const),
    ]
    return Object.fromEntries(
      all.map(([name, column]) => [name, column.subarray(0, this.#count)]),
    ) as unknown as Columns
  }

  /** For columns that are made of the log. */
  get memory(): ColumnMemory {
    return this.#memory ?? new ColumnMemory()
  }

  /** To be called when nobody looks at its columns any more, nor at what was made in its memory. */
  leave(): void {
    if (this.#memory !== null) leaveMemory(this.#memory)
    this.#memory = null
  }

  #grow(): void {
    this.#capacity = Math.min(GROWTH * this.#capacity, MOST_SUBS_LOGGED)
    if (this.#capacity === MOST_SUBS_LOGGED) this.#memory = usedMemory()
    const { memory } = this
    this.#lines = grown(this.#lines, memory.uint32(this.#capacity))
    this.#measures = this.#measures.map((column) => grown(column, memory.float64(this.#capacity)))
    this.#marks = this.#marks.map((column) => grown(column, memory.float32(this.#capacity)))
  }
}

function grown<Column extends Uint32Array | Float32Array | Float64Array>(column: Column, into: Column): Column {
  into.set(column)
  return into
}
