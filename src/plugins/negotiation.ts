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

/** Whether an `Accept` field admits JSON: its most specific range that covers JSON has no `q=0` (RFC 9110, 12.5.1). */
export const acceptsJson = remembering((accept) => {
  const ranges = accept.split(',').map(mediaRange)
  if (accept.trim() === '') return true
  const covering = ['application/json', 'application/*', '*/*'].map((type) =>
    ranges.find((range) => range.type === type),
  )
  const best = covering.find((range) => range !== undefined)
  return best !== undefined && Number(best.parameters.get('q') ?? 1) > 0
})

/** Whether a `Content-Type` is JSON in UTF-8. */
const isJsonInUtf8 = remembering((contentType) => {
  const { type, parameters } = mediaRange(contentType)
  const charset = parameters.get('charset') ?? 'utf-8'
  return type === 'application/json' && (charset === 'utf-8' || charset === 'utf8')
})

/** 406 unless the client takes JSON. */
export const answersJson: onRequestHookHandler = (request, _reply, next) => {
  const { accept } = request.headers
  if (accept === undefined || acceptsJson(accept)) next()
  else next(new ProblemError('not-acceptable', 'The answer is application/json.'))
}

/** 415 unless the body is plain JSON in UTF-8; 400 if there is none. */
export const readsJson: onRequestHookHandler = (request, reply, next) => {
  const { headers } = request
  const length = headers['content-length']
  const coding = headers['content-encoding']
  const type = headers['content-type']
  if (headers['transfer-encoding'] === undefined && (length === undefined || length === '0')) {
    next(new ProblemError('unreadable-request', 'The body is empty; a JSON object is wanted.'))
  } else if (coding !== undefined && coding.toLowerCase() !== 'identity') {
    void reply.headers({ 'accept-encoding': 'identity', connection: 'close' })
    next(new ProblemError('unsupported-media-type', 'The body may not be compressed.'))
  } else if (type === undefined || !isJsonInUtf8(type)) {
    void reply.headers({ accept: 'application/json', connection: 'close' })
    next(new ProblemError('unsupported-media-type', 'The body must be application/json in UTF-8.'))
  } else next()
}
