// Numbers for whoever watches the service, in the Prometheus text format: requests, and the state of the process.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { collectDefaultMetrics, Gauge, Registry } from 'prom-client'
import { RequestMeter } from './request-meter.ts'

declare module 'fastify' {
  interface FastifyInstance {
    metrics: {
      contentType: string
      text: () => Promise<string>
      /** Adds a number that is read whenever somebody looks. */
      watch: (name: string, help: string, read: () => number) => void
    }
  }
}

export const metrics = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    const process = new Registry()
    collectDefaultMetrics({ register: process })
    const requests = new RequestMeter()
    app.addHook('onResponse', (request, reply, next) => {
      requests.observe(request.method, request.routeOptions.url ?? 'none', reply.statusCode, reply.elapsedTime / 1000)
      next()
    })
    app.decorate('metrics', {
      contentType: process.contentType,
      text: async () => `${requests.text()}\n${await process.metrics()}`,
      watch: (name, help, read) => {
        new Gauge({
          name,
          help,
          registers: [process],
          collect() {
            this.set(read())
          },
        })
      },
    })
    done()
  },
  { name: 'metrics', fastify: '5.x' },
)
