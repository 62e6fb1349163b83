// Which representations a request may carry and asks for. Hooks for single routes.

import type { onRequestHookHandler } from 'fastify'
import { ProblemError } from '../contract/problem.ts'

const mostRemembered = 200

/** Remembers the verdicts on header fields, which clients repeat word for word. */
function remembering(judge: (field: string) => boolean): (field: string) => boolean {
  const verdicts = new Map<string, boolean>()
  return (field) => {
    let verdict = verdicts.get(field)
    if (verdict === undefined) {
      verdict = judge(field)
      if (verdicts.size >= mostRemembered) verdicts.clear()
      verdicts.set(field, verdict)
    }
    return verdict
  }
}

interface MediaRange {
  type: string
  parameters: Map<string, string>
}

function mediaRange(text: string): MediaRange {
  const [type = '', ...rest] = text.split(';').map((part) => part.trim().toLowerCase())
  const parameters = rest.map((part): [string, string] => {
    const [name = '', value = ''] = part.split('=', 2).map((side) => side.trim())
    return [name, value.replace(/^"(.*)"$/, '$1')]
  })
  return { type, parameters: new Map(parameters) }
}

/**
 * Whether an `Accept` field admits one of some media types under `application/`: the most specific range that covers them
 * has no `q=0` (RFC 9110, 12.5.1).
 */
const accepting = (types: readonly string[]) =>
  remembering((accept) => {
    const ranges = accept.split(',').map(mediaRange)
    if (accept.trim() === '') return true
    return types.some((type) => {
      const covering = [type, 'application/*', '*/*'].map((wanted) => ranges.find((range) => range.type === wanted))
      const best = covering.find((range) => range !== undefined)
      return best !== undefined && Number(best.parameters.get('q') ?? 1) > 0
    })
  })

/** Whether a `Content-Type` is one of some media types, in UTF-8. */
const typedAs = (types: readonly string[]) =>
  remembering((contentType) => {
    const { type, parameters } = mediaRange(contentType)
    const charset = parameters.get('charset') ?? 'utf-8'
    return types.includes(type) && (charset === 'utf-8' || charset === 'utf8')
  })

export const JSON_TYPE = 'application/json'
/** Lines of JSON: what is answered, and by which names it may be sent and asked for. None of them is registered. */
export const NDJSON = 'application/x-ndjson'
export const NDJSON_TYPES = [NDJSON, 'application/ndjson', 'application/jsonl']

export const acceptsJson = accepting([JSON_TYPE])

/** 406 unless the client takes what is answered. */
function answers(type: string, accepts: (accept: string) => boolean): onRequestHookHandler {
  return (request, _reply, next) => {
    const { accept } = request.headers
    if (accept === undefined || accepts(accept)) next()
    else next(new ProblemError('not-acceptable', `The answer is ${type}.`))
  }
}

export const answersJson = answers(JSON_TYPE, acceptsJson)
export const answersNdjson = answers(NDJSON, accepting(NDJSON_TYPES))

/** 415 unless the body is plain and of a type that is read, in UTF-8; 400 if there is none. */
const reads =
  (type: string, isRead: (contentType: string) => boolean, wanted: string): onRequestHookHandler =>
  (request, reply, next) => {
    const { headers } = request
    const length = headers['content-length']
    const coding = headers['content-encoding']
    const given = headers['content-type']
    if (headers['transfer-encoding'] === undefined && (length === undefined || length === '0')) {
      next(new ProblemError('unreadable-request', `The body is empty; ${wanted} is wanted.`))
    } else if (coding !== undefined && coding.toLowerCase() !== 'identity') {
      void reply.headers({ 'accept-encoding': 'identity', connection: 'close' })
      next(new ProblemError('unsupported-media-type', 'The body may not be compressed.'))
    } else if (given === undefined || !isRead(given)) {
      void reply.headers({ accept: type, connection: 'close' })
      next(new ProblemError('unsupported-media-type', `The body must be ${type.replace(', ', ' or ')} in UTF-8.`))
    } else next()
  }

export const readsJson = reads(JSON_TYPE, typedAs([JSON_TYPE]), 'a JSON object')

/** For a path that reads CSV too. */
export const CSV_TYPE = 'text/csv'
export const isCsv = typedAs([CSV_TYPE])
export const readsJsonOrCsv = reads(
  `${JSON_TYPE}, ${CSV_TYPE}`,
  typedAs([JSON_TYPE, CSV_TYPE]),
  'a JSON object, or a log in CSV',
)

/** As {@link readsJson}; 413 when the length that is announced is too much. */
const readsLines = reads(NDJSON, typedAs(NDJSON_TYPES), 'a question on each line')

export const readsNdjson: onRequestHookHandler = function (request, reply, next) {
  if (Number(request.headers['content-length']) > request.routeOptions.bodyLimit) {
    void reply.header('connection', 'close')
    next(new ProblemError('body-too-large', `The body may have ${request.routeOptions.bodyLimit} bytes.`))
  } else readsLines.call(this, request, reply, next)
}
