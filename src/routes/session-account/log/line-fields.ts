// What may stand in each field of a line. It is read from the schema of a line, so it is said in one place.

import { z } from 'zod'
import { nearest } from '../../../contract/nearest.ts'
import { loggedSubFields } from '../../../contract/session-log.ts'
import { COLUMNS, type ColumnName, type Said } from './sub-log.ts'

export interface LineField {
  kind: 'number' | 'boolean' | 'time' | 'word'
  isRequired: boolean
  /** Its column in the log. */
  column: number
  /** Of a number. */
  minimum: number
  maximum: number
  /** Whether a value may stand in the field. */
  allows: (value: unknown) => boolean
  /** What may, in words. */
  wanted: string
}

interface FieldSchema {
  type: 'number' | 'boolean' | 'string'
  format?: string
  pattern?: string
  minimum?: number
  maximum?: number
  minLength?: number
  maxLength?: number
  examples?: unknown[]
  'x-unit'?: string
}

const UNITS: Readonly<Record<string, string>> = {
  s: ' seconds',
  adu: ' ADU',
  'electron/(pixel.s)': ' electrons a pixel and second',
  arcsec: ' arcsec',
  deg_C: ' °C',
}

type FieldRule = Pick<LineField, 'kind' | 'allows' | 'wanted'>

function numberField({ minimum = -Infinity, maximum = Infinity, ...schema }: FieldSchema): FieldRule {
  const unit = UNITS[schema['x-unit'] ?? ''] ?? ''
  return {
    kind: 'number',
    allows: (value) => typeof value === 'number' && value >= minimum && value <= maximum,
    wanted: `a number from ${minimum} to ${maximum}${unit}, such as ${String(schema.examples?.[0])}`,
  }
}

function textField({ minLength = 0, maxLength = Infinity, ...schema }: FieldSchema): FieldRule {
  const pattern = new RegExp(schema.pattern ?? '', 'u')
  const isTime = schema.format === 'date-time'
  return {
    kind: isTime ? 'time' : 'word',
    allows: (value) =>
      typeof value === 'string' && value.length >= minLength && value.length <= maxLength && pattern.test(value),
    wanted: isTime
      ? 'a time with `Z` or an offset, such as 2026-11-21T19:42:10Z'
      : `text of ${minLength} to ${maxLength} characters`,
  }
}

function ruleOf(schema: FieldSchema): FieldRule {
  if (schema.type === 'number') return numberField(schema)
  if (schema.type === 'string') return textField(schema)
  return { kind: 'boolean', allows: (value) => typeof value === 'boolean', wanted: 'true or false' }
}

const { properties, required } = z.toJSONSchema(z.strictObject(loggedSubFields), {
  io: 'input',
  target: 'draft-7',
}) as unknown as { properties: Record<string, FieldSchema>; required: string[] }

/** Columns that go by another name than their field: numbers, in its place. */
const OTHER_NAMES: Readonly<Record<string, ColumnName>> = {
  startedAt: 'startSeconds',
  accepted: 'isAccepted',
  interrupted: 'isSpoiled',
  rejectedFor: 'reason',
}

/** The fields of a line by name. */
export const LINE_FIELDS: ReadonlyMap<string, LineField> = new Map(
  Object.entries(properties).map(([name, schema]) => [
    name,
    {
      ...ruleOf(schema),
      minimum: schema.minimum ?? -Infinity,
      maximum: schema.maximum ?? Infinity,
      isRequired: required.includes(name),
      column: COLUMNS.indexOf(OTHER_NAMES[name] ?? (name as ColumnName)),
    },
  ]),
)

export const REQUIRED_FIELDS = [...LINE_FIELDS].filter(([, { isRequired }]) => isRequired)

/** What may not be given together: two ways to say the same. */
export const EITHER_FIELDS = [
  ['backgroundAdu', 'backgroundElectronsPerPixelSecond'],
  ['fwhmArcsec', 'relativeFwhm'],
] as const

const isSaid = (said: Said, column: number) => !Number.isNaN(said[column])
const REQUIRED_COLUMNS = REQUIRED_FIELDS.map(([, { column }]) => column)
const EITHER_COLUMNS = EITHER_FIELDS.map((names) => names.map((name) => COLUMNS.indexOf(name)))

/** Whether allowed values together make a line. */
export function isLine(said: Said): boolean {
  return (
    REQUIRED_COLUMNS.every((column) => isSaid(said, column)) &&
    !EITHER_COLUMNS.some((columns) => columns.every((column) => isSaid(said, column)))
  )
}

const NAMES = [...LINE_FIELDS.keys()]

/** What a name that is not known may have been meant for. */
export function meantBy(name: string): string {
  const close = nearest(name, NAMES)
  return close === undefined ? `known here: ${NAMES.map((it) => `\`${it}\``).join(', ')}` : `did you mean \`${close}\`?`
}
