// Header fields that keep a browser from making more of an answer than it is. The documentation page has a policy of its
// own, since it needs its scripts and styles.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'

const headers = {
  'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
}

export const securityHeaders = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.addHook('onRequest', (_request, reply, next) => {
      void reply.headers(headers)
      next()
    })
    done()
  },
  { name: 'security-headers', fastify: '5.x' },
)
