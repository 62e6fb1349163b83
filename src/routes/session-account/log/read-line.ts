// Reads a line of a log: one that breaks the contract is named and left out, and the rest goes on.

import type { z } from 'zod'
import type { LoggedSubSchema } from '../../../contract/session-log.ts'
import { LINE_FIELDS, meantBy, REQUIRED_FIELDS } from './line-fields.ts'
import type { SubLog } from './sub-log.ts'

type LoggedSub = z.infer<typeof LoggedSubSchema>

/** What may not be given together: two ways to say the same. */
const EITHER = [
  ['backgroundAdu', 'backgroundElectronsPerPixelSecond'],
  ['fwhmArcsec', 'relativeFwhm'],
] as const

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
  if (log.bad.count === before) addSub(value as LoggedSub, line, log)
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
  for (const [one, other] of EITHER) {
    if (record[one] !== undefined && record[other] !== undefined) {
      refuse(other, `stands beside ${one}; give one of the two`)
    }
  }
}

function addSub(sub: LoggedSub, line: number, log: SubLog): void {
  const { accepted: isAccepted = true, interrupted: isSpoiled = !isAccepted } = sub
  // Written one by one: a line as an object of its own takes as long as all the checks.
  const { columns, place } = log.append()
  columns.line[place] = line
  columns.startSeconds[place] = Date.parse(sub.startedAt) / 1000
  columns.subSeconds[place] = sub.subSeconds
  columns.filter[place] = log.filters.indexOf(sub.filter)
  columns.backgroundAdu[place] = sub.backgroundAdu ?? NaN
  columns.backgroundElectronsPerPixelSecond[place] = sub.backgroundElectronsPerPixelSecond ?? NaN
  columns.relativeStarFlux[place] = sub.relativeStarFlux ?? NaN
  columns.fwhmArcsec[place] = sub.fwhmArcsec ?? NaN
  columns.relativeFwhm[place] = sub.relativeFwhm ?? NaN
  columns.sensorCelsius[place] = sub.sensorCelsius ?? NaN
  columns.isAccepted[place] = Number(isAccepted)
  columns.isSpoiled[place] = Number(isSpoiled)
  columns.reason[place] = log.reasons.indexOf(sub.rejectedFor)
}
