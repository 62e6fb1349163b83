// Which form of a union a refused value evidently means.

import {
  branchesOf,
  isObject,
  jsonType,
  resolve,
  type JsonObject,
  type JsonSchema,
  type Lookup,
} from './json-schema.ts'
import { choicesOf } from './wording.ts'

export type Choice =
  /** One of the forms allows the value. */
  | { kind: 'fits' }
  /** No form is of the value's type. */
  | { kind: 'none' }
  /** An object that shares no field with any form. */
  | { kind: 'names'; unknown: string[]; known: string[] }
  /** The form meant, or what all forms have in common when nothing says which. */
  | { kind: 'branch'; branch: JsonSchema; elsewhere: Elsewhere }

/** The names that other forms of an object have, and the field that tells the forms apart, if one does. */
export interface Elsewhere {
  names: ReadonlySet<string>
  tag?: string | undefined
}

export const NOWHERE_ELSE: Elsewhere = { names: new Set() }

/**
 * @param countErrors  how many errors a value has against one form
 */
export function chooseBranch(
  schema: JsonSchema,
  value: unknown,
  lookup: Lookup,
  countErrors: (branch: JsonSchema) => number,
): Choice {
  const counted = branchesOf(schema, lookup).map((branch) => ({ branch, errors: countErrors(branch) }))
  if (counted.some(({ errors }) => errors === 0)) return { kind: 'fits' }
  const type = jsonType(value)
  const candidates = counted.filter(({ branch }) => admits(branch, type) && choicesOf(branch) === undefined)
  const fewest = candidates.sort((a, b) => a.errors - b.errors)[0]
  if (fewest === undefined) return { kind: 'none' }
  if (!isObject(value)) return { kind: 'branch', branch: fewest.branch, elsewhere: NOWHERE_ELSE }
  return chooseForm(
    candidates.map(({ branch }) => branch),
    value,
    lookup,
  )
}

function admits(branch: JsonSchema, type: string): boolean {
  return [branch.type].flat().some((name) => name === type || (name === 'integer' && type === 'number'))
}

const namesOf = (form: JsonSchema) => Object.keys(form.properties ?? {})

/** Among forms of an object, fewest errors first: the one the tag names, or the one with most of the given fields. */
function chooseForm(forms: readonly JsonSchema[], value: JsonObject, lookup: Lookup): Choice {
  const tag = forms.length > 1 ? tagOf(forms, lookup) : undefined
  const meant = tag === undefined ? forms : forms.filter((form) => tagValues(form, tag, lookup)?.includes(value[tag]))
  if (tag !== undefined && meant.length === 0) {
    const choices = forms.flatMap((form) => tagValues(form, tag, lookup) ?? [])
    const branch = { type: 'object', properties: { [tag]: { enum: choices } }, required: [tag] }
    return { kind: 'branch', branch, elsewhere: NOWHERE_ELSE }
  }
  const shared = (form: JsonSchema) => namesOf(form).filter((name) => Object.hasOwn(value, name)).length
  const branch = meant.reduce((best, form) => (shared(form) > shared(best) ? form : best))
  const known = [...new Set(forms.flatMap(namesOf))]
  if (forms.length > 1 && shared(branch) === 0) {
    const unknown = Object.keys(value)
    return unknown.length === 0 ? { kind: 'none' } : { kind: 'names', unknown, known }
  }
  const own = new Set(namesOf(branch))
  return { kind: 'branch', branch, elsewhere: { names: new Set(known.filter((name) => !own.has(name))), tag } }
}

/** The field by which the forms are told apart: each requires it, and no two allow the same value. */
function tagOf(forms: readonly JsonSchema[], lookup: Lookup): string | undefined {
  const [first = {}] = forms
  return namesOf(first).find((name) => {
    const values = forms.flatMap((form) => tagValues(form, name, lookup) ?? [])
    const everywhere = forms.every((form) => form.required?.includes(name) && tagValues(form, name, lookup))
    return everywhere && new Set(values).size === values.length
  })
}

function tagValues(form: JsonSchema, name: string, lookup: Lookup): unknown[] | undefined {
  const property = form.properties?.[name]
  return property && choicesOf(resolve(property, lookup))
}
