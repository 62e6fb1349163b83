// Turns requests away while the event loop lags so far behind that answers would come too late anyway.

import { monitorEventLoopDelay } from 'node:perf_hooks'
import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { ProblemError } from '../contract/problem.ts'

const retrySeconds = 5
const resolutionMilliseconds = 10

export interface OverloadOptions {
  /** Mean lag of the event loop over one sample that is too much. */
  lagMilliseconds?: number
  sampleMilliseconds?: number
}

export const overload = fastifyPlugin(
  (app: FastifyInstance, { lagMilliseconds = 500, sampleMilliseconds = 1000 }: OverloadOptions, done: () => void) => {
    const delay = monitorEventLoopDelay({ resolution: resolutionMilliseconds })
    delay.enable()
    let isBusy = false
    const sampling = setInterval(() => {
      isBusy = delay.mean / 1e6 - resolutionMilliseconds > lagMilliseconds
      delay.reset()
    }, sampleMilliseconds)
    sampling.unref()

    app.addHook('onRequest', (_request, reply, next) => {
      if (!isBusy) {
        next()
        return
      }
      void reply.header('retry-after', retrySeconds)
      next(new ProblemError('overloaded', `The service is busy; ask again in ${retrySeconds} seconds.`))
    })
    app.addHook('onClose', (_app, closed) => {
      clearInterval(sampling)
      delay.disable()
      closed()
    })
    done()
  },
  { name: 'overload', fastify: '5.x' },
)
