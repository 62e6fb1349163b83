// Turns requests away while the event loop lags so far behind that answers would come too late anyway.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { ProblemError } from '../contract/problem.ts'
import './route-config.ts'

const retrySeconds = 5

export interface OverloadOptions {
  /** How late the event loop may come to its work. */
  lagMilliseconds?: number
  sampleMilliseconds?: number
}

/** Whether a timer came too late twice in a row; once may be a pause of the machine, which is over when it is noticed. */
class LagWatch {
  isBusy = false
  private lateBefore = false
  private sampling: NodeJS.Timeout | undefined

  start(lagMilliseconds: number, sampleMilliseconds: number): void {
    let expected = performance.now() + sampleMilliseconds
    this.sampling = setInterval(() => {
      const now = performance.now()
      const isLate = now - expected > lagMilliseconds
      this.isBusy = isLate && this.lateBefore
      this.lateBefore = isLate
      expected = now + sampleMilliseconds
    }, sampleMilliseconds).unref()
  }

  stop(): void {
    clearInterval(this.sampling)
  }
}

export const overload = fastifyPlugin(
  (app: FastifyInstance, { lagMilliseconds = 1000, sampleMilliseconds = 500 }: OverloadOptions, done: () => void) => {
    const watch = new LagWatch()
    // An app that does not listen has no clients to turn away.
    app.addHook('onListen', (listening) => {
      watch.start(lagMilliseconds, sampleMilliseconds)
      listening()
    })
    app.addHook('onClose', (_app, closed) => {
      watch.stop()
      closed()
    })
    app.addHook('onRequest', (request, reply, next) => {
      if (!watch.isBusy || request.routeOptions.config.unlimited === true) {
        next()
        return
      }
      void reply.header('retry-after', retrySeconds)
      next(new ProblemError('overloaded', `The service is busy; ask again in ${retrySeconds} seconds.`))
    })
    done()
  },
  { name: 'overload', fastify: '5.x' },
)
