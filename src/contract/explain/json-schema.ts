// The part of JSON Schema (draft 7) that the contract's schemas are made of.

export interface JsonSchema {
  $id?: string
  $ref?: string
  allOf?: JsonSchema[]
  anyOf?: JsonSchema[]
  oneOf?: JsonSchema[]
  type?: string | string[]
  const?: unknown
  enum?: unknown[]
  minimum?: number
  maximum?: number
  exclusiveMinimum?: number
  exclusiveMaximum?: number
  multipleOf?: number
  minLength?: number
  maxLength?: number
  pattern?: string
  format?: string
  items?: JsonSchema
  minItems?: number
  maxItems?: number
  properties?: Record<string, JsonSchema>
  required?: string[]
  additionalProperties?: boolean | JsonSchema
  propertyNames?: JsonSchema
  description?: string
  examples?: unknown[]
  'x-unit'?: string
  [keyword: string]: unknown
}

export type JsonObject = Record<string, unknown>

/** Finds a schema by the reference another one makes to it. */
export type Lookup = (reference: string) => JsonSchema

export type JsonType = 'null' | 'boolean' | 'number' | 'string' | 'array' | 'object'

/** What JSON calls a value that came out of JSON. */
export function jsonType(value: unknown): JsonType {
  if (value === null) return 'null'
  if (Array.isArray(value)) return 'array'
  return typeof value as JsonType
}

export function isObject(value: unknown): value is JsonObject {
  return jsonType(value) === 'object'
}

/** The schema itself: references and wrappers with a single `allOf` followed, an outer unit handed on. */
export function resolve(schema: JsonSchema, lookup: Lookup): JsonSchema {
  let found = schema
  let unit = schema['x-unit']
  for (let next: JsonSchema | undefined = schema; next !== undefined;) {
    found = next
    unit ??= found['x-unit']
    if (found.$ref !== undefined) next = lookup(found.$ref)
    else next = found.allOf?.length === 1 ? found.allOf[0] : undefined
  }
  return unit === undefined || found['x-unit'] === unit ? found : { ...found, 'x-unit': unit }
}

/** The branches of a union, unions within it opened; a schema that is no union is its own only branch. */
export function branchesOf(schema: JsonSchema, lookup: Lookup): JsonSchema[] {
  const found = resolve(schema, lookup)
  const branches = found.anyOf ?? found.oneOf
  if (branches === undefined) return [found]
  const unit = found['x-unit']
  return branches.flatMap((branch) => branchesOf(unit === undefined ? branch : { 'x-unit': unit, ...branch }, lookup))
}
