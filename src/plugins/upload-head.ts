// What the head of an upload must say before its body is looked at. Hooks and readers for single routes.

import type { FastifyReply, FastifyRequest, onRequestHookHandler } from 'fastify'
import { ProblemError } from '../contract/problem.ts'
import type { JsonSchema } from '../contract/explain/json-schema.ts'
import { invalidRequest } from './invalid-request.ts'
import { refuseParameters } from './link.ts'

const JSON_NUMBER = /^-?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?$/

/** The media type of a body, without its parameters. */
export const mediaTypeOf = ({ headers }: FastifyRequest) =>
  (headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? ''

/** True when the client waits to be told to go on before it sends its body (RFC 9110, 10.1.1). */
export const asksFirst = ({ headers }: FastifyRequest) => headers.expect?.toLowerCase() === '100-continue'

/**
 * 400 without a body, 413 when it is declared too long, 415 unless it is of a type and coding that is read.
 *
 * @param codings  content codings that are read beside none at all
 */
export function readsUpload(
  it: { mediaTypes: readonly string[]; maximumBytes: number },
  codings: readonly string[],
): onRequestHookHandler {
  return (request, reply, next) => {
    const refusal = refusalOf(request, reply, it, codings)
    // The rest of the body is thrown away as it comes, so that the client hears the answer; not so where it waits for leave
    // to send, or would send without end.
    const isEndless = Number(request.headers['content-length']) > 2 * it.maximumBytes
    if (refusal && (isEndless || asksFirst(request))) void reply.header('connection', 'close')
    next(refusal)
  }
}

function refusalOf(
  request: FastifyRequest,
  reply: FastifyReply,
  { mediaTypes, maximumBytes }: { mediaTypes: readonly string[]; maximumBytes: number },
  codings: readonly string[],
): ProblemError | undefined {
  const { headers } = request
  const length = headers['content-length']
  if (headers['transfer-encoding'] === undefined && (length === undefined || length === '0')) {
    return new ProblemError('unreadable-request', `The body is empty; ${mediaTypes[0] ?? 'a body'} is wanted.`)
  }
  if (!mediaTypes.includes(mediaTypeOf(request))) {
    void reply.header('accept', mediaTypes.join(', '))
    return new ProblemError(
      'unsupported-media-type',
      `The body must be ${mediaTypes.join(' or ')}, and \`Content-Type\` must say so.`,
    )
  }
  const coding = codingOf(request)
  if (coding !== 'identity' && !codings.includes(coding)) {
    const read = [...codings, 'identity'].join(', ')
    void reply.header('accept-encoding', read)
    return new ProblemError('unsupported-media-type', `The content coding ${shown(coding)} is not read: ${read} are.`)
  }
  const isTooLarge = Number(length) > maximumBytes
  return isTooLarge ? new ProblemError('body-too-large', `The body may have ${maximumBytes} bytes.`) : undefined
}

/** The content coding of a body; `x-gzip` is gzip (RFC 9110, 8.4.1.3). */
export function codingOf({ headers }: FastifyRequest): string {
  const coding = (headers['content-encoding'] ?? 'identity').trim().toLowerCase()
  return coding === 'x-gzip' ? 'gzip' : coding
}

/**
 * The parameters in a query, numbers as numbers.
 *
 * @param schema  of a flat object
 * @throws {ProblemError} `invalid-request` naming every parameter that is unknown, repeated or out of its range
 */
export function readParameters(
  query: unknown,
  schema: JsonSchema,
  errorsOf: (value: unknown) => { pointer: string; message: string }[],
): unknown {
  const properties = schema.properties ?? {}
  refuseParameters(query, Object.keys(properties))
  const entries = Object.entries(query as Record<string, string | string[]>)
  const repeated = entries.filter(([, text]) => Array.isArray(text))
  if (repeated.length > 0) {
    throw invalidRequest(repeated.map(([name]) => ({ pointer: `/${name}`, message: 'given more than once' })))
  }
  const values = Object.fromEntries(entries.map(([name, text]) => [name, typed(String(text), properties[name])]))
  const errors = errorsOf(values)
  if (errors.length > 0) throw invalidRequest(errors)
  return values
}

/** What is no number stays text, and is refused as such. */
function typed(text: string, schema: JsonSchema | undefined): string | number {
  const isNumber = schema?.type === 'number' || schema?.type === 'integer'
  return isNumber && JSON_NUMBER.test(text) ? Number(text) : text
}

const shown = (text: string) => (text.length > 40 ? `${text.slice(0, 40)}…` : text)
