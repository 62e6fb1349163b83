// Reads a line of a log: one that breaks the contract is named and left out, and the rest goes on.

import type { RowField } from '../../../setup/rows/row-fields.ts'
import { EITHER_FIELDS, LINE_FIELDS, meantBy, REQUIRED_FIELDS } from './line-fields.ts'
import { nothingSaid, type Said, type SubLog } from './sub-log.ts'

const DECIMAL_COMMA = /^[-+]?\d+,\d+$/

function given(value: unknown): string {
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'object' && value !== null) return 'an object'
  const text = JSON.stringify(value)
  return text.length > 60 ? `${text.slice(0, 60)}…` : text
}

const hintFor = (value: unknown) =>
  typeof value === 'string' && DECIMAL_COMMA.test(value) ? '; decimals have a point' : ''

/** Takes a line into the log, or names it as bad. */
export function readLine(value: unknown, line: number, log: SubLog): void {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    log.bad.add(line, '', `${given(value)} given; wanted: an object with startedAt and subSeconds`)
    return
  }
  const before = log.bad.count
  check(value as Record<string, unknown>, (field, message) => {
    log.bad.add(line, field, message)
  })
  if (log.bad.count === before) log.add(line, saidBy(value as Record<string, unknown>, log))
}

function check(record: Record<string, unknown>, refuse: (field: string, message: string) => void): void {
  for (const name in record) {
    const value = record[name]
    const field = LINE_FIELDS.get(name)
    if (field === undefined) refuse(name, `unknown field; ${meantBy(name)}`)
    else if (!field.allows(value)) refuse(name, `${given(value)} given; wanted: ${field.wanted}${hintFor(value)}`)
  }
  for (const [name, field] of REQUIRED_FIELDS) {
    if (!Object.hasOwn(record, name)) refuse(name, `missing; wanted: ${field.wanted}`)
  }
  for (const [one, other] of EITHER_FIELDS) {
    if (record[one] !== undefined && record[other] !== undefined) {
      refuse(other, `stands beside ${one}; give one of the two`)
    }
  }
}

function saidBy(record: Record<string, unknown>, log: SubLog): Said {
  const said = nothingSaid()
  for (const name in record) {
    const field = LINE_FIELDS.get(name)
    if (field !== undefined) said[field.column] = numberOf(record[name], field, log)
  }
  return said
}

/** An allowed value as the log keeps it. */
function numberOf(value: unknown, field: RowField, log: SubLog): number {
  switch (field.kind) {
    case 'number':
    case 'boolean':
      return Number(value)
    case 'time':
      return log.secondsOf(String(value))
    case 'word':
      return log.wordsOf(field).indexOf(String(value))
  }
}
