// Says what is wrong with a value that a schema refuses: every bad field, by JSON Pointer, in words. Slower than the
// validator that does the refusing, and only called when that has refused.

import type { FieldError } from '../problem.ts'
import { nearest } from '../nearest.ts'
import { pointerStep } from '../pointer.ts'
import {
  branchesOf,
  isObject,
  jsonType,
  resolve,
  type JsonObject,
  type JsonSchema,
  type Lookup,
} from './json-schema.ts'
import { chooseBranch, NOWHERE_ELSE, type Elsewhere } from './union.ts'
import { choicesOf, given, listed, quoted, wanted } from './wording.ts'

/** More errors than this are not listed. */
export const MOST_ERRORS = 50

/** Every error of a value against its schema, the first {@link MOST_ERRORS} of them; none if the schema allows it. */
export function explain(schema: JsonSchema, value: unknown, lookup: Lookup): FieldError[] {
  const errors: FieldError[] = []
  visit({ lookup, errors }, schema, value, '')
  return errors
}

interface Visit {
  lookup: Lookup
  errors: FieldError[]
}

const isFull = ({ errors }: Visit) => errors.length >= MOST_ERRORS

function report(visiting: Visit, pointer: string, message: string): void {
  if (!isFull(visiting)) visiting.errors.push({ pointer, message })
}

function visit(visiting: Visit, outer: JsonSchema, value: unknown, pointer: string): void {
  if (isFull(visiting)) return
  const schema = resolve(outer, visiting.lookup)
  if (schema.anyOf !== undefined || schema.oneOf !== undefined) {
    visitUnion(visiting, schema, value, pointer)
    return
  }
  for (const part of schema.allOf ?? []) visit(visiting, part, value, pointer)
  if (!isOfType(schema, value) || !isAmong(schema, value)) {
    refuse(visiting, schema, value, pointer)
    return
  }
  if (typeof value === 'number') visitNumber(visiting, schema, value, pointer)
  else if (typeof value === 'string') visitText(visiting, schema, value, pointer)
  else if (Array.isArray(value)) visitList(visiting, schema, value, pointer)
  else if (isObject(value)) visitObject(visiting, schema, value, pointer)
}

/** What was given, what is wanted, and how to come from one to the other where that is plain to see. */
function refuse(visiting: Visit, schema: JsonSchema, value: unknown, pointer: string): void {
  const hint = hintFor(branchesOf(schema, visiting.lookup), value)
  report(visiting, pointer, `${given(value)} given; wanted: ${wanted(schema, visiting.lookup)}${hint}`)
}

function hintFor(branches: readonly JsonSchema[], value: unknown): string {
  if (value === null) return '; leave out what is not known'
  if (typeof value !== 'string') return ''
  const choices = branches.flatMap((branch) => choicesOf(branch) ?? [])
  const close = nearest(value, choices.map(String))
  if (close !== undefined) return `; did you mean ${quoted(close)}?`
  const isNumber = value.trim() !== '' && Number.isFinite(Number(value))
  return isNumber && branches.some((branch) => isOfType(branch, Number(value))) ? '; write a number without quotes' : ''
}

function isOfType(schema: JsonSchema, value: unknown): boolean {
  if (typeof value === 'number' && !Number.isFinite(value)) return false
  if (schema.type === undefined) return true
  const type = jsonType(value)
  return [schema.type].flat().some((name) => name === type || (name === 'integer' && Number.isInteger(value)))
}

const isAmong = (schema: JsonSchema, value: unknown) => choicesOf(schema)?.includes(value) ?? true

function visitNumber(visiting: Visit, schema: JsonSchema, value: number, pointer: string): void {
  const fits =
    value >= (schema.minimum ?? -Infinity) &&
    value <= (schema.maximum ?? Infinity) &&
    value > (schema.exclusiveMinimum ?? -Infinity) &&
    value < (schema.exclusiveMaximum ?? Infinity) &&
    (schema.multipleOf === undefined || Number.isInteger(value / schema.multipleOf))
  if (!fits) refuse(visiting, schema, value, pointer)
}

function visitText(visiting: Visit, schema: JsonSchema, value: string, pointer: string): void {
  const { length } = Array.from(value)
  const fits =
    length >= (schema.minLength ?? 0) &&
    length <= (schema.maxLength ?? Infinity) &&
    (schema.pattern === undefined || new RegExp(schema.pattern, 'u').test(value))
  if (!fits) refuse(visiting, schema, value, pointer)
}

function visitList(visiting: Visit, schema: JsonSchema, value: unknown[], pointer: string): void {
  if (value.length < (schema.minItems ?? 0) || value.length > (schema.maxItems ?? Infinity)) {
    refuse(visiting, schema, value, pointer)
  }
  const { items } = schema
  if (items === undefined) return
  for (const [index, item] of value.entries()) visit(visiting, items, item, pointer + pointerStep(index))
}

function visitObject(
  visiting: Visit,
  schema: JsonSchema,
  value: JsonObject,
  pointer: string,
  elsewhere: Elsewhere = NOWHERE_ELSE,
): void {
  const properties = schema.properties ?? {}
  for (const name of schema.required ?? []) {
    if (!Object.hasOwn(value, name)) {
      const of = properties[name] ?? {}
      report(visiting, pointer + pointerStep(name), `missing; wanted: ${wanted(of, visiting.lookup)}`)
    }
  }
  for (const [name, item] of Object.entries(value)) {
    if (isFull(visiting)) return
    const at = pointer + pointerStep(name)
    const property = Object.hasOwn(properties, name) ? properties[name] : undefined
    if (property !== undefined) visit(visiting, property, item, at)
    else visitOther(visiting, schema, { name, item, at, elsewhere, object: value })
  }
}

interface OtherField {
  name: string
  item: unknown
  at: string
  elsewhere: Elsewhere
  object: JsonObject
}

function visitOther(visiting: Visit, schema: JsonSchema, { name, item, at, elsewhere, object }: OtherField): void {
  if (schema.additionalProperties !== false) {
    if (schema.propertyNames !== undefined) visitName(visiting, schema.propertyNames, name, at)
    if (isObject(schema.additionalProperties)) visit(visiting, schema.additionalProperties, item, at)
    return
  }
  const known = Object.keys(schema.properties ?? {})
  if (elsewhere.names.has(name)) {
    report(visiting, at, whyNotHere(elsewhere.tag, known, object))
    return
  }
  report(visiting, at, `unknown field; ${knownNames(name, known)}`)
}

/** Why a field that another form of the object has is not allowed in this one. */
function whyNotHere(tag: string | undefined, known: readonly string[], object: JsonObject): string {
  if (tag !== undefined) return `not allowed when ${quoted(tag)} is ${String(object[tag])}`
  const beside = known.filter((name) => Object.hasOwn(object, name))
  return `not allowed together with ${listed(beside.map(quoted))}; leave one of them out`
}

/** Points from an unknown name to the known one it most likely stands for, or to all of them. */
export function knownNames(name: string, known: readonly string[]): string {
  const close = nearest(name, known)
  if (close !== undefined) return `did you mean ${quoted(close)}?`
  return known.length === 0 ? 'no fields are known here' : `known here: ${listed(known.map(quoted))}`
}

function visitName(visiting: Visit, schema: JsonSchema, name: string, at: string): void {
  const found = explain(schema, name, visiting.lookup)
  for (const { message } of found) report(visiting, at, `name of a field: ${message}`)
}

/** Goes into the form that the value evidently means, so that the errors are those of what the client tried to say. */
function visitUnion(visiting: Visit, schema: JsonSchema, value: unknown, pointer: string): void {
  const choice = chooseBranch(
    schema,
    value,
    visiting.lookup,
    (branch) => explain(branch, value, visiting.lookup).length,
  )
  switch (choice.kind) {
    case 'fits':
      return
    case 'none':
      refuse(visiting, schema, value, pointer)
      return
    case 'names':
      for (const name of choice.unknown.slice(0, MOST_ERRORS)) {
        report(visiting, pointer + pointerStep(name), `unknown field; ${knownNames(name, choice.known)}`)
      }
      return
    case 'branch':
      if (isObject(value)) visitObject(visiting, choice.branch, value, pointer, choice.elsewhere)
      else visit(visiting, choice.branch, value, pointer)
  }
}
