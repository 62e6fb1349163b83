// Reads a JSON body whose long list is written as programs write it: the list goes straight from the text to its items, and
// what stands beside it is read as any body is. Whatever is unusual about either is left to those who can say what is wrong.

import type { FastifyInstance } from 'fastify'
import { ProblemError } from '../contract/problem.ts'
import type { QuickList } from '../routes/endpoint.ts'
import { parseJson, textOf } from './json-text.ts'

/** A body that was checked as it was read. */
export class QuickBody {
  /** The object, the list in it empty. */
  readonly rest: Readonly<Record<string, unknown>>
  readonly items: unknown

  constructor(rest: Readonly<Record<string, unknown>>, items: unknown) {
    this.rest = rest
    this.items = items
  }
}

export interface QuickReading {
  // eslint-disable-next-line @typescript-eslint/no-explicit-any -- only the list itself knows its items
  list: QuickList<any, unknown, unknown>
  /** Errors of the request against its schema. */
  errorsOf: (value: unknown) => readonly unknown[]
}

/** Makes the JSON bodies of a scope quick ones, where they can be. */
export function readQuickBodies(scope: FastifyInstance, reading: QuickReading): void {
  scope.removeContentTypeParser('application/json')
  scope.addContentTypeParser('application/json', { parseAs: 'buffer' }, (_request, body, parsed) => {
    const text = textOf(body as Buffer, 'The body')
    parsed(null, quickBody(text, reading) ?? parseJson(text, 'The body'))
  })
}

/** null where the body has to be read with care. */
export function quickBody(text: string, { list, errorsOf }: QuickReading): QuickBody | null {
  const from = beginOf(text, list.field)
  const taken = from === -1 ? null : list.take(text, from)
  if (taken === null) return null
  const rest = parsed(`${text.slice(0, from)}]${text.slice(taken.end)}`)
  return errorsOf(rest).length > 0 ? null : new QuickBody(rest as Record<string, unknown>, taken.items)
}

/**
 * Behind the bracket of the first list of a name; −1 where there is none. One that stands elsewhere than in the top object
 * makes what is left break the schema, which knows no such field there.
 */
function beginOf(text: string, field: string): number {
  const begin = new RegExp(`"${field}"\\s*:\\s*\\[`, 'g')
  return begin.test(text) ? begin.lastIndex : -1
}

/** What a text holds; null where it cannot be read, which reading the whole will say. */
function parsed(text: string): unknown {
  try {
    return parseJson(text, 'The body')
  } catch (error) {
    if (error instanceof ProblemError) return null
    throw error
  }
}
