// One line for each request: what was asked of which route, and what came of it. No bodies, no query strings.

import { LogController, type FastifyBaseLogger, type FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { pino, type DestinationStream } from 'pino'

/** The log of an app; the server's own lines about requests are replaced by those of {@link requestLog}. */
export function buildLogger(level: string, destination: DestinationStream | undefined) {
  const loggerInstance: FastifyBaseLogger = pino({ level, base: null }, destination)
  return {
    loggerInstance,
    logController: new LogController({ disableRequestLogging: true }),
    childLoggerFactory: (logger: FastifyBaseLogger) => logger,
  }
}

export const requestLog = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.addHook('onResponse', (request, reply, next) => {
      app.log.info({
        method: request.method,
        route: request.routeOptions.url,
        status: reply.statusCode,
        ms: Math.round(reply.elapsedTime * 100) / 100,
        bytes: Number(reply.getHeader('content-length') ?? 0),
      })
      next()
    })
    done()
  },
  { name: 'request-log', fastify: '5.x' },
)
