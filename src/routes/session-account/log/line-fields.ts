// What may stand in each field of a line. It is read from the schema of a line, so it is said in one place.

import { z } from 'zod'
import { nearest } from '../../../contract/nearest.ts'
import { loggedSubFields } from '../../../contract/session-log.ts'

export interface LineField {
  kind: 'number' | 'boolean' | 'string'
  isRequired: boolean
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

function numberField({
  minimum = -Infinity,
  maximum = Infinity,
  ...schema
}: FieldSchema): Omit<LineField, 'isRequired'> {
  const unit = UNITS[schema['x-unit'] ?? ''] ?? ''
  return {
    kind: 'number',
    allows: (value) => typeof value === 'number' && value >= minimum && value <= maximum,
    wanted: `a number from ${minimum} to ${maximum}${unit}, such as ${String(schema.examples?.[0])}`,
  }
}

function textField({ minLength = 0, maxLength = Infinity, ...schema }: FieldSchema): Omit<LineField, 'isRequired'> {
  const pattern = new RegExp(schema.pattern ?? '', 'u')
  return {
    kind: 'string',
    allows: (value) =>
      typeof value === 'string' && value.length >= minLength && value.length <= maxLength && pattern.test(value),
    wanted:
      schema.format === 'date-time'
        ? 'a time with `Z` or an offset, such as 2026-11-21T19:42:10Z'
        : `text of ${minLength} to ${maxLength} characters`,
  }
}

function fieldOf(schema: FieldSchema): Omit<LineField, 'isRequired'> {
  if (schema.type === 'number') return numberField(schema)
  if (schema.type === 'string') return textField(schema)
  return { kind: 'boolean', allows: (value) => typeof value === 'boolean', wanted: 'true or false' }
}

const { properties, required } = z.toJSONSchema(z.strictObject(loggedSubFields), {
  io: 'input',
  target: 'draft-7',
}) as unknown as { properties: Record<string, FieldSchema>; required: string[] }

/** The fields of a line by name. */
export const LINE_FIELDS: ReadonlyMap<string, LineField> = new Map(
  Object.entries(properties).map(([name, schema]) => [
    name,
    { ...fieldOf(schema), isRequired: required.includes(name) },
  ]),
)

export const REQUIRED_FIELDS = [...LINE_FIELDS].filter(([, { isRequired }]) => isRequired)

const NAMES = [...LINE_FIELDS.keys()]

/** What a name that is not known may have been meant for. */
export function meantBy(name: string): string {
  const close = nearest(name, NAMES)
  return close === undefined ? `known here: ${NAMES.map((it) => `\`${it}\``).join(', ')}` : `did you mean \`${close}\`?`
}
