// Requests that a JSON Schema allows, as fast-check arbitraries: magnitudes drawn log-uniformly, ends drawn often.

import fc from 'fast-check'

export interface JsonSchema {
  type?: string
  format?: string
  $ref?: string
  $defs?: Record<string, JsonSchema>
  anyOf?: JsonSchema[]
  oneOf?: JsonSchema[]
  allOf?: JsonSchema[]
  enum?: unknown[]
  const?: unknown
  minimum?: number
  maximum?: number
  minItems?: number
  maxItems?: number
  minLength?: number
  items?: JsonSchema
  properties?: Record<string, JsonSchema>
  required?: string[]
}

/** Values of a schema. Arrays stay short; tables over wavelength are made to ascend. */
export function arbitraryOf(schema: JsonSchema, definitions: Record<string, JsonSchema>): fc.Arbitrary<unknown> {
  if (schema.$ref !== undefined) {
    const name = schema.$ref.replace('#/$defs/', '')
    return arbitraryOf(definitions[name] ?? {}, definitions)
  }
  const choices = schema.anyOf ?? schema.oneOf
  if (choices !== undefined) return fc.oneof(...choices.map((choice) => arbitraryOf(choice, definitions)))
  if (schema.allOf?.[0] !== undefined) return arbitraryOf(schema.allOf[0], definitions)
  if (schema.enum !== undefined) return fc.constantFrom(...schema.enum)
  if (schema.const !== undefined) return fc.constant(schema.const)
  switch (schema.type) {
    case 'number':
      return numberBetween(schema.minimum ?? -1e6, schema.maximum ?? 1e6)
    case 'integer':
      return numberBetween(schema.minimum ?? 0, schema.maximum ?? 1e6).map(Math.round)
    case 'boolean':
      return fc.boolean()
    case 'string':
      if (schema.format === 'date-time') return time()
      return fc.string({ minLength: Math.max(1, schema.minLength ?? 1), maxLength: 8 })
    case 'array':
      return arrayOf(schema, definitions)
    case 'object':
      return objectOf(schema, definitions)
    case undefined:
    default:
      return fc.constant(null)
  }
}

/** Within a night, so that several of them make a session. */
function time(): fc.Arbitrary<string> {
  const start = Date.UTC(2026, 10, 14, 18)
  return fc.integer({ min: 0, max: 43200 }).map((seconds) => new Date(start + seconds * 1000).toISOString())
}

function numberBetween(minimum: number, maximum: number): fc.Arbitrary<number> {
  const linear = fc.double({ min: minimum, max: maximum, noNaN: true })
  const ends = fc.constantFrom(minimum, maximum)
  if (maximum <= 0) return fc.oneof({ weight: 8, arbitrary: linear }, ends)
  const lowest = Math.max(minimum, maximum * 1e-12)
  const logarithmic = fc
    .double({ min: Math.log(lowest), max: Math.log(maximum), noNaN: true })
    .map((exponent) => Math.min(maximum, Math.max(minimum, Math.exp(exponent))))
  return fc.oneof({ weight: 6, arbitrary: logarithmic }, { weight: 3, arbitrary: linear }, ends)
}

function arrayOf(schema: JsonSchema, definitions: Record<string, JsonSchema>): fc.Arbitrary<unknown> {
  const minLength = schema.minItems ?? 0
  const items = fc.array(arbitraryOf(schema.items ?? {}, definitions), {
    minLength,
    maxLength: Math.max(minLength, Math.min(schema.maxItems ?? 6, 6)),
  })
  return items.map((values) => {
    const first: unknown = values[0]
    if (typeof first !== 'object' || first === null || !('wavelengthNm' in first)) return values
    const points = values as { wavelengthNm: number }[]
    return points.sort((a, b) => a.wavelengthNm - b.wavelengthNm)
  })
}

function objectOf(schema: JsonSchema, definitions: Record<string, JsonSchema>): fc.Arbitrary<unknown> {
  const properties = Object.entries(schema.properties ?? {}).map(
    ([key, property]) => [key, arbitraryOf(property, definitions)] as const,
  )
  return fc.record(Object.fromEntries(properties), { requiredKeys: schema.required ?? [] })
}
