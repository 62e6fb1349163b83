// The link form of a question: the JSON that a POST has in its body stands in the `request` parameter.

import { ProblemError, type FieldError } from '../contract/problem.ts'
import { parseJson } from './json-text.ts'
import { nearest } from '../contract/nearest.ts'

type Query = Readonly<Record<string, unknown>>

const refused = (detail: string, errors: readonly FieldError[] = [{ pointer: '', message: detail }]) =>
  new ProblemError('invalid-request', detail, errors)

/** Refuses query parameters that mean nothing. */
export function refuseParameters(query: unknown, known: readonly string[] = []): void {
  const unknown = Object.keys(query as Query).filter((name) => !known.includes(name))
  if (unknown.length === 0) return
  const errors = unknown.slice(0, 50).map((name) => {
    const close = nearest(name, known)
    const shown = name.length > 40 ? `${name.slice(0, 40)}…` : name
    return {
      pointer: '',
      message: `unknown query parameter \`${shown}\`${close === undefined ? '' : `; did you mean \`${close}\`?`}`,
    }
  })
  throw refused('The query holds parameters that this path does not know.', errors)
}

/**
 * The question in a link.
 *
 * @throws {ProblemError} `invalid-request` unless there is one `request` parameter and no other, or its JSON is broken
 */
export function readLink(query: unknown): unknown {
  refuseParameters(query, ['request'])
  const { request } = query as Query
  if (request === undefined || request === '') {
    throw refused('The query parameter `request` is missing; it holds the URL-encoded JSON of the question.')
  }
  if (typeof request !== 'string') throw refused('The query parameter `request` is given more than once.')
  return parseJson(request, 'The query parameter `request`')
}
