// A service that is about to stop says so: readiness fails, and every answer asks the client to close its connection.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'

export interface Draining {
  active: boolean
}

declare module 'fastify' {
  interface FastifyInstance {
    draining: Draining
  }
}

/**
 * Closes a service when its requests are answered. Uploads and batches may take long: those that take longer than the time
 * given are cut.
 */
export async function closeWithin(app: FastifyInstance, milliseconds: number): Promise<void> {
  const late = setTimeout(() => {
    app.server.closeAllConnections()
  }, milliseconds)
  await app.close()
  clearTimeout(late)
}

export const draining = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    const state: Draining = { active: false }
    app.decorate('draining', state)
    app.addHook('onSend', (_request, reply, _payload, next) => {
      if (state.active) void reply.header('connection', 'close')
      next()
    })
    done()
  },
  { name: 'draining', fastify: '5.x' },
)
