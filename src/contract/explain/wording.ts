// How a refusal says what was given and what is wanted.

import { branchesOf, isObject, type JsonSchema, type Lookup } from './json-schema.ts'

const longestShown = 40
const mostNames = 12

function shortened(text: string): string {
  const characters = Array.from(text.slice(0, longestShown * 2))
  return characters.length > longestShown ? `${characters.slice(0, longestShown).join('')}…` : text
}

/** What was given, short enough to repeat. */
export function given(value: unknown): string {
  if (typeof value === 'string') return `the text ${shortened(JSON.stringify(value))}`
  if (typeof value === 'number' && !Number.isFinite(value)) return 'a number too large to hold (beyond 1.8e308)'
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : `a list of ${value.length}`
  if (isObject(value)) return Object.keys(value).length === 0 ? 'an empty object' : 'an object'
  return String(value)
}

/** Names in a row, cut where nobody reads on. */
export function listed(names: readonly string[]): string {
  if (names.length > mostNames) return `${names.slice(0, mostNames).join(', ')}, … (${names.length} in all)`
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1) ?? ''}`
}

export const quoted = (name: string) => `\`${shortened(name)}\``

/** The unit after a number; plain numbers and counts have none. */
function unitOf(schema: JsonSchema): string {
  const unit = schema['x-unit'] ?? ''
  return unit === '' || unit === '1' || unit === 'count' ? '' : ` ${unit}`
}

// The bounds that zod gives every whole number say nothing to a reader.
const meant = (bound: number | undefined) =>
  bound !== undefined && Math.abs(bound) < Number.MAX_SAFE_INTEGER ? bound : undefined

function range(schema: JsonSchema): string {
  const minimum = meant(schema.minimum)
  const maximum = meant(schema.maximum)
  if (minimum !== undefined && maximum !== undefined) return ` from ${minimum} to ${maximum}`
  const bounds = [
    minimum !== undefined && `of at least ${minimum}`,
    schema.exclusiveMinimum !== undefined && `above ${schema.exclusiveMinimum}`,
    maximum !== undefined && `of at most ${maximum}`,
    schema.exclusiveMaximum !== undefined && `below ${schema.exclusiveMaximum}`,
  ].filter((bound) => bound !== false)
  return bounds.length === 0 ? '' : ` ${bounds.join(' and ')}`
}

function sizes(minimum: number | undefined, maximum: number | undefined, of: string): string {
  if (minimum !== undefined && maximum !== undefined) {
    return minimum === maximum ? ` of ${minimum} ${of}` : ` of ${minimum} to ${maximum} ${of}`
  }
  if (minimum !== undefined) return ` of at least ${minimum} ${of}`
  return maximum === undefined ? '' : ` of at most ${maximum} ${of}`
}

function wantedText(schema: JsonSchema): string {
  const example = schema.examples?.[0]
  const like = typeof example === 'string' ? ` such as ${JSON.stringify(example)}` : ''
  if (schema.format === 'date-time') return `a time in UTC${like || ' such as "2026-01-31T21:30:00Z"'}`
  if (schema.format === 'date') return `a date${like || ' such as "2026-01-31"'}`
  const pattern = schema.pattern === undefined || like !== '' ? '' : ` that matches ${schema.pattern}`
  return `a text${sizes(schema.minLength, schema.maxLength, 'characters')}${pattern}${like}`
}

function wantedObject(schema: JsonSchema): string {
  const names = schema.required ?? []
  return names.length === 0 ? 'an object' : `an object with ${listed(names.map(quoted))}`
}

function wantedOfType(schema: JsonSchema, type: string | undefined): string {
  switch (type) {
    case 'integer':
    case 'number': {
      const steps = schema.multipleOf === undefined ? '' : ` in steps of ${schema.multipleOf}`
      return `a ${type === 'integer' ? 'whole ' : ''}number${range(schema)}${unitOf(schema)}${steps}`
    }
    case 'string':
      return wantedText(schema)
    case 'array':
      return `a list${sizes(schema.minItems, schema.maxItems, 'items')}`
    case 'object':
      return wantedObject(schema)
    case 'boolean':
      return 'true or false'
    case undefined:
      return 'a JSON value'
    default:
      return type
  }
}

function wantedOne(schema: JsonSchema): string {
  const choices = choicesOf(schema)
  if (choices !== undefined) return choices.length === 1 ? String(choices[0]) : `one of ${choices.join(', ')}`
  const types = Array.isArray(schema.type) ? schema.type : [schema.type]
  return types.map((type) => wantedOfType(schema, type)).join(' or ')
}

/** The values a schema lists, if it lists them. */
export function choicesOf(schema: JsonSchema): unknown[] | undefined {
  return Object.hasOwn(schema, 'const') ? [schema.const] : schema.enum
}

/** What is wanted instead, from the schema. */
export function wanted(schema: JsonSchema, lookup: Lookup): string {
  const branches = branchesOf(schema, lookup)
  const lists = branches.map(choicesOf)
  if (lists.every((choices) => choices !== undefined)) return wantedOne({ enum: lists.flat() })
  return [...new Set(branches.map(wantedOne))].join(', or ')
}
