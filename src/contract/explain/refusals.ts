// What is wrong with a value that does not come from a body of its own, such as a set-up that a patch leads to.

import { z } from 'zod'
import type { FieldError } from '../problem.ts'
import { explain } from './explain.ts'
import type { JsonSchema } from './json-schema.ts'

const DEFINITIONS = '#/definitions/'

/** Every error of a value against a schema of the contract, in the words of every other refusal; none if it may pass. */
export function refusalsOf(schema: z.ZodType, value: unknown): FieldError[] {
  if (schema.safeParse(value).success) return []
  const whole = z.toJSONSchema(schema, { target: 'draft-7', io: 'input' }) as JsonSchema
  const definitions = whole.definitions as Record<string, JsonSchema>
  return explain(whole, value, (reference) => {
    const found = definitions[reference.slice(DEFINITIONS.length)]
    if (found === undefined) throw new Error(`No schema is named ${reference}.`)
    return found
  })
}
