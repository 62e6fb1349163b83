// A log in CSV: the header names the columns as JSON names the fields; an empty cell says nothing.

import { ProblemError, type FieldError } from '../../../contract/problem.ts'
import type { RowField } from '../../../setup/rows/row-fields.ts'
import { CsvRecords } from './csv-records.ts'
import { LINE_FIELDS, meantBy, REQUIRED_FIELDS } from './line-fields.ts'
import { QuickCsv } from './quick-csv.ts'
import { readLine } from './read-line.ts'
import { SubLog } from './sub-log.ts'

interface Column {
  name: string
  field: RowField
}

const TRUTH: ReadonlyMap<string, boolean> = new Map([
  ['true', true],
  ['false', false],
  ['1', true],
  ['0', false],
])

const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?$/

/** A cell as JSON would have it; what does not fit stays text, for the check of the line to name. */
function valueOf(cell: string, { kind }: RowField): unknown {
  switch (kind) {
    case 'number': {
      const value = NUMBER.test(cell) ? Number(cell) : NaN
      return Number.isFinite(value) ? value : cell
    }
    case 'boolean':
      return TRUTH.get(cell.toLowerCase()) ?? cell
    case 'time':
    case 'word':
      return cell
  }
}

/** Stands where bytes are no UTF-8. */
const NOT_UTF8 = '\uFFFD'

export class CsvLogReader {
  readonly log = new SubLog(false)
  readonly #records = new CsvRecords(
    (cells, line) => {
      this.#takeRecord(cells, line)
    },
    (text, from, to, line) => this.#quick?.take(text, from, to, line) === true,
  )
  #columns: Column[] | null = null
  #quick: QuickCsv | null = null

  /** @throws {ProblemError} `invalid-request` where the header is not one, or there are too many lines */
  take(piece: string): void {
    this.#records.push(piece)
  }

  end(): SubLog {
    this.#records.end()
    if (this.#columns === null) this.#columns = readHeader([])
    return this.log
  }

  #takeRecord(given: readonly string[] | null, line: number): void {
    const cells = given?.map((cell) => cell.trim())
    // A row of nothing, as spreadsheets leave them, says nothing.
    if (cells?.every((cell) => cell === '') === true) return
    if (this.#columns === null) {
      this.#columns = readHeader(cells ?? [])
      this.#quick = new QuickCsv(
        this.#columns.map(({ field }) => field),
        this.log,
      )
    } else this.#takeRow(cells, line, this.#columns)
  }

  #takeRow(cells: string[] | undefined, line: number, columns: readonly Column[]): void {
    const { log } = this
    log.countLine()
    if (cells?.some((cell) => cell.includes(NOT_UTF8)) === true) log.bad.add(line, '', 'the line is not UTF-8')
    else if (cells === undefined) log.bad.add(line, '', 'a quote is not closed, or stands inside a cell')
    else if (cells.length !== columns.length) {
      const hint =
        cells.length > columns.length ? '; decimals have a point, and text with a comma stands in quotes' : ''
      log.bad.add(
        line,
        '',
        `${cells.length === 1 ? '1 cell' : `${cells.length} cells`} given; wanted: ${columns.length}, as in the header${hint}`,
      )
    } else {
      const record: Record<string, unknown> = {}
      columns.forEach(({ name, field }, index) => {
        const cell = cells[index] ?? ''
        if (cell !== '') record[name] = valueOf(cell, field)
      })
      readLine(record, line, log)
    }
  }
}

function readHeader(names: readonly string[]): Column[] {
  const messages = noHeader(names) ?? separatorFault(names) ?? [...names.flatMap(columnFault), ...missingColumns(names)]
  const columns = names.flatMap((name) => {
    const field = LINE_FIELDS.get(name)
    return field === undefined ? [] : [{ name, field }]
  })
  if (messages.length === 0) return columns
  const errors = messages.slice(0, 50).map((message): FieldError => ({ pointer: '/subs', message }))
  throw new ProblemError('invalid-request', `The log cannot be read as CSV: ${errors[0]?.message ?? ''}`, errors)
}

const TIME = /^\d{4}-\d\d-\d\dT/

/** A row of a sub where the header should stand. */
function noHeader(names: readonly string[]): string[] | null {
  if (!names.some((name) => TIME.test(name) || NUMBER.test(name))) return null
  const wanted = REQUIRED_FIELDS.map(([name]) => name).join(',')
  return [`the header row is missing; wanted: a first line that names the columns, such as ${wanted}`]
}

function separatorFault([first = '', ...others]: readonly string[]): string[] | null {
  const separator = /[;\t|]/.exec(first)?.[0]
  if (separator === undefined || others.length > 0) return null
  const shown = separator === '\t' ? 'tabs' : `\`${separator}\``
  return [`the columns of the header are parted by ${shown}; wanted: commas, and decimals with a point`]
}

function columnFault(name: string, index: number, names: readonly string[]): string[] {
  if (name === '') return [`column ${index + 1} has no name in the header`]
  if (!LINE_FIELDS.has(name)) {
    const shown = name.length > 40 ? `${name.slice(0, 40)}…` : name
    return [`unknown column \`${shown}\` in the header; ${meantBy(name)}`]
  }
  return names.indexOf(name) === index ? [] : [`column \`${name}\` stands twice in the header`]
}

const missingColumns = (names: readonly string[]) =>
  REQUIRED_FIELDS.filter(([name]) => !names.includes(name)).map(
    ([name]) => `column \`${name}\` is missing in the header`,
  )
