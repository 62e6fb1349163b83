// The contract's zod schemas as JSON Schema: what validates, what explains and what is published all come from here.

import { z } from 'zod'
import type { JsonSchema } from './explain/json-schema.ts'

/** How one named schema refers to another. */
export const referenceTo = (id: string) => `${id}#`

/** The name a schema was given with `.meta({ id })`. */
export function nameOf(schema: z.ZodType): string {
  const id = z.globalRegistry.get(schema)?.id
  if (id === undefined) throw new Error('A request or answer schema has no name; give it one with .meta({ id }).')
  return id
}

function convert(io: 'input' | 'output'): Record<string, JsonSchema> {
  const { schemas } = z.toJSONSchema(z.globalRegistry, { target: 'draft-7', io, uri: referenceTo })
  const named = Object.entries(schemas as Record<string, JsonSchema>)
  return Object.fromEntries(named.map(([id, schema]) => [id, { ...schema, $id: id }]))
}

/**
 * Every named schema as JSON Schema (draft 7), by name.
 *
 * A request reaches its handler as it was sent, and one set of schemas serves both directions. So a schema that means
 * something else after parsing (`default`, `transform`, an object that drops unknown fields) is refused.
 *
 * @throws {Error} naming the schema that reads differently as input and as output
 */
export function contractSchemas(): Record<string, JsonSchema> {
  const schemas = convert('input')
  const parsed = convert('output')
  for (const [id, schema] of Object.entries(schemas)) {
    if (JSON.stringify(schema) !== JSON.stringify(parsed[id])) {
      throw new Error(`Schema ${id} changes what it parses: no default, no transform, and strictObject everywhere.`)
    }
  }
  return schemas
}
