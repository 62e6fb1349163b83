// Pages of other origins may read the answers: by default all pages, else those of the listed origins.

import type { FastifyInstance, FastifyReply } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { pathOf } from './known-paths.ts'

const readable = 'ETag, RateLimit-Limit, RateLimit-Remaining, RateLimit-Reset, Retry-After'
const sendable = 'Accept, Content-Encoding, Content-Type, If-None-Match'
const preflightSeconds = 86400

export interface CorsOptions {
  origins: '*' | readonly string[]
}

/** What permits a page of this origin to read the answer; nothing for an origin that is not listed. */
function permissionFor(origin: string | undefined, origins: ReadonlySet<string>): Record<string, string> {
  if (origin === undefined || !origins.has(origin)) return { vary: 'Origin' }
  return { vary: 'Origin', 'access-control-allow-origin': origin, 'access-control-expose-headers': readable }
}

function answerOptions(reply: FastifyReply, methods: readonly string[]): void {
  const allow = [...methods, 'OPTIONS'].join(', ')
  void reply
    .code(204)
    .headers({
      allow,
      'access-control-allow-methods': allow,
      'access-control-allow-headers': sendable,
      'access-control-max-age': preflightSeconds,
    })
    .send()
}

export const cors = fastifyPlugin(
  (app: FastifyInstance, { origins }: CorsOptions, done: () => void) => {
    const open = { 'access-control-allow-origin': '*', 'access-control-expose-headers': readable }
    const listed = new Set(origins === '*' ? [] : origins)
    app.addHook('onRequest', (request, reply, next) => {
      void reply.headers(origins === '*' ? open : permissionFor(request.headers.origin, listed))
      if (request.method !== 'OPTIONS') {
        next()
        return
      }
      const methods = app.knownPaths.methodsOf(pathOf(request.raw.url ?? ''))
      if (methods.length === 0) next()
      else answerOptions(reply, methods)
    })
    done()
  },
  { name: 'cors', fastify: '5.x', dependencies: ['known-paths'] },
)
