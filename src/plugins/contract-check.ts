// The gate both ways: a request is checked before its handler sees it, an answer before it is written.

import { Ajv, type ErrorObject, type ValidateFunction } from 'ajv'
import type { FieldError } from '../contract/problem.ts'
import { contractSchemas, referenceTo } from '../contract/json-schemas.ts'
import { explain, MOST_ERRORS } from '../contract/explain/explain.ts'
import type { JsonSchema } from '../contract/explain/json-schema.ts'
import { pointerStep } from '../contract/pointer.ts'

/** An answer that breaks its own schema: a fault of the service, whose reason is for the log only. */
export class AnswerError extends Error {
  override readonly name = 'AnswerError'
}

export interface ContractCheck {
  /** As published. */
  readonly schemas: Readonly<Record<string, JsonSchema>>
  /** Every error of a request against the named schema; none if it may pass. */
  readonly errorsOf: (name: string) => (value: unknown) => FieldError[]
  /**
   * The bytes of an answer of the named schema.
   *
   * @throws {AnswerError} when the answer is not as published: NaN, an infinity, an unknown or missing field
   */
  readonly writerOf: (name: string) => (answer: unknown) => string
}

// zod writes the pattern beside these formats, and the pattern is what is checked.
const formatsWithPattern = ['date-time', 'date']

function extensionKeywords(schema: unknown, found = new Set<string>()): Set<string> {
  if (typeof schema !== 'object' || schema === null) return found
  for (const [name, part] of Object.entries(schema)) {
    if (name.startsWith('x-') && !Array.isArray(schema)) found.add(name)
    extensionKeywords(part, found)
  }
  return found
}

function buildValidator(schemas: Readonly<Record<string, JsonSchema>>): Ajv {
  const validator = new Ajv({
    // The first error decides; all of them are found by `explain`, and only when there is one.
    allErrors: false,
    // Each named schema becomes a function of its own: in one piece they grow past the size that Node optimizes, and
    // run fifteen times slower.
    inlineRefs: false,
    coerceTypes: false,
    removeAdditional: false,
    strict: true,
    allowUnionTypes: true,
    schemas: Object.values(schemas),
    formats: Object.fromEntries(formatsWithPattern.map((format) => [format, true])),
  })
  validator.addVocabulary([...extensionKeywords(schemas)])
  return validator
}

/** A schema that leaves the items of lists to the question which checks them one by one. */
function leavingItems(schema: JsonSchema): JsonSchema {
  const { properties } = schema
  if (properties === undefined) return schema
  const left = Object.entries(properties).map(([name, list]) => [
    name,
    list['x-checked-one-by-one'] ? { ...list, items: {} } : list,
  ])
  return { ...schema, properties: Object.fromEntries(left) as Record<string, JsonSchema> }
}

/** The validator's own words, for the case that nothing better can be said. */
function plainError({ instancePath, params, message = 'not allowed' }: ErrorObject): FieldError {
  const { missingProperty, additionalProperty } = params as { missingProperty?: string; additionalProperty?: string }
  const name = missingProperty ?? additionalProperty
  return { pointer: instancePath + (name === undefined ? '' : pointerStep(name)), message }
}

/**
 * Checks for every schema that the contract names.
 *
 * @param schemas  as `contractSchemas` gives them
 */
export function buildContractCheck(schemas = contractSchemas()): ContractCheck {
  const checked = Object.fromEntries(Object.entries(schemas).map(([name, schema]) => [name, leavingItems(schema)]))
  const validator = buildValidator(checked)
  const lookup = (reference: string): JsonSchema => {
    const schema = checked[reference.replace(/#$/, '')]
    if (schema === undefined) throw new Error(`No schema is named ${reference}.`)
    return schema
  }
  const compiled = (name: string): ValidateFunction => {
    const validate = validator.getSchema(referenceTo(name))
    if (validate === undefined) throw new Error(`No schema is named ${name}.`)
    return validate
  }
  return {
    schemas,
    errorsOf: (name) => {
      const validate = compiled(name)
      return (value) => {
        if (validate(value)) return []
        const refusals = validate.errors ?? []
        const explained = explain(lookup(name), value, lookup)
        return explained.length > 0 ? explained : refusals.slice(0, MOST_ERRORS).map(plainError)
      }
    },
    writerOf: (name) => {
      const validate = compiled(name)
      return (answer) => {
        if (validate(answer)) return JSON.stringify(answer)
        throw new AnswerError(
          `The answer is no ${name}: ${validator.errorsText(validate.errors?.slice(0, MOST_ERRORS))}`,
        )
      }
    },
  }
}
