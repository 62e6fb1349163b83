// What may stand in each field of a row. It is read from the schema of a row, so it is said in one place.

import { z } from 'zod'

/** A text as codes of its characters, to be compared with. */
export type Codes = Uint16Array

export const codesOf = (text: string): Codes => Uint16Array.from(text, (character) => character.charCodeAt(0))

export interface RowField {
  name: string
  /** `"name":` */
  written: Codes
  kind: 'number' | 'boolean' | 'time' | 'word'
  isRequired: boolean
  /** Its place in a row of numbers. */
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
  type?: string
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

type FieldRule = Pick<RowField, 'kind' | 'allows' | 'wanted'>

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

function ruleOf(schema: FieldSchema): FieldRule | null {
  if (schema.type === 'number') return numberField(schema)
  if (schema.type === 'string') return textField(schema)
  if (schema.type !== 'boolean') return null
  return { kind: 'boolean', allows: (value) => typeof value === 'boolean', wanted: 'true or false' }
}

/**
 * The fields of a row by name; those that hold neither a number nor a word are left out.
 *
 * @param columnOf  the place of a field in a row of numbers
 * @throws {Error} for a field that has none
 */
export function rowFields(row: z.ZodRawShape, columnOf: (name: string) => number): ReadonlyMap<string, RowField> {
  const { properties, required } = z.toJSONSchema(z.strictObject(row), {
    io: 'input',
    target: 'draft-7',
  }) as unknown as { properties: Record<string, FieldSchema>; required: string[] }
  const fields = Object.entries(properties).flatMap(([name, schema]): [string, RowField][] => {
    const rule = ruleOf(schema)
    if (rule === null) return []
    const { minimum = -Infinity, maximum = Infinity } = schema
    const column = columnOf(name)
    if (column < 0) throw new Error(`No column is meant for ${name}.`)
    const written = codesOf(`"${name}":`)
    return [[name, { name, written, isRequired: required.includes(name), column, minimum, maximum, ...rule }]]
  })
  return new Map(fields)
}
