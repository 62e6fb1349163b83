// Whatever goes wrong becomes a problem document (RFC 9457); what went wrong inside the service stays in its log.

import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { problem, ProblemError, type Problem, type ProblemKind } from '../contract/problem.ts'
import { EngineError } from '../engine/index.ts'

const send = (reply: FastifyReply, document: Problem): FastifyReply =>
  reply
    .code(document.status)
    .headers({ 'content-type': 'application/problem+json', 'cache-control': 'no-store' })
    .send(JSON.stringify(document))

/** Answers with the problem document of a kind. */
export function sendProblem(reply: FastifyReply, kind: ProblemKind, detail: string): FastifyReply {
  return send(reply, problem(kind, detail))
}

/** The problem document of what a question throws; nothing for a fault of the service. */
export function refusalOf(error: unknown): Problem | undefined {
  if (error instanceof ProblemError) return problem(error.kind, error.message, error.errors)
  if (error instanceof EngineError) {
    return problem('no-answer', error.message, [{ pointer: '', message: error.message }])
  }
  return undefined
}

/** What is said of a fault of the service. */
export const internalError = () => problem('internal-error', 'The service failed to answer. The reason is in its log.')

/** What the server's own refusals mean here. */
const SERVER_REFUSALS: Readonly<Record<string, readonly [ProblemKind, string]>> = {
  FST_ERR_CTP_INVALID_MEDIA_TYPE: ['unsupported-media-type', 'The body is not declared as application/json.'],
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: ['unreadable-request', 'The body is not as long as Content-Length says.'],
  FST_ERR_BAD_URL: ['unreadable-request', 'The path holds a % that is not followed by a valid code.'],
  FST_ERR_MAX_PARAM_LENGTH: ['not-found', 'Nothing here has so long a name.'],
}

/** Answers for an error thrown anywhere in a request. */
export function answerError(error: FastifyError, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const document = refusalOf(error)
  if (document !== undefined) return send(reply, document)
  if (error.code === 'FST_ERR_CTP_BODY_TOO_LARGE') {
    const limit = request.routeOptions.bodyLimit
    return sendProblem(reply, 'body-too-large', `The body may have ${limit} bytes.`)
  }
  const refused = SERVER_REFUSALS[error.code]
  if (refused !== undefined) return sendProblem(reply, ...refused)
  const { statusCode = 500 } = error
  if (statusCode < 500) return sendProblem(reply, 'unreadable-request', 'The request broke off or cannot be read.')
  request.log.error({ err: error, method: request.method, route: request.routeOptions.url }, 'no answer')
  return send(reply, internalError())
}

export const problems = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.setErrorHandler(answerError)
    done()
  },
  { name: 'problems', fastify: '5.x' },
)
