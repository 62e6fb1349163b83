// Which paths there are and which methods each takes: for 404 with the nearest path, 405 with Allow, and OPTIONS.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { nearest } from '../contract/nearest.ts'
import { sendProblem } from './problems.ts'

export interface KnownPaths {
  /** Methods of a path; none if nothing is there. */
  methodsOf: (path: string) => string[]
  /** The known path that a mistyped one most likely stands for. */
  nearestTo: (path: string) => string | undefined
}

declare module 'fastify' {
  interface FastifyInstance {
    knownPaths: KnownPaths
  }
}

/** The path of a request target, without its query. */
export const pathOf = (url: string) => url.split('?', 1)[0] ?? ''

/** `:name` in a pattern stands for one step of a path, `*` for the rest. */
function matches(pattern: string, path: string): boolean {
  if (!/[:*]/.test(pattern)) return pattern === path
  const steps = path.split('/')
  const wanted = pattern.split('/')
  if (wanted.at(-1) === '*')
    return steps.length >= wanted.length && wanted.slice(0, -1).every((step, index) => step === steps[index])
  return steps.length === wanted.length && wanted.every((step, index) => step.startsWith(':') || step === steps[index])
}

function buildKnownPaths(methods: ReadonlyMap<string, ReadonlySet<string>>): KnownPaths {
  return {
    methodsOf: (path) => {
      const found = methods.get(path) ?? [...methods].find(([pattern]) => matches(pattern, path))?.[1]
      return [...(found ?? [])].sort()
    },
    nearestTo: (path) =>
      nearest(
        path,
        [...methods.keys()].filter((pattern) => !/[:*]/.test(pattern)),
      ),
  }
}

export const knownPaths = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    const methods = new Map<string, Set<string>>()
    app.addHook('onRoute', ({ url, method }) => {
      const known = methods.get(url) ?? new Set()
      for (const name of [method].flat()) known.add(name)
      methods.set(url, known)
    })
    const known = buildKnownPaths(methods)
    app.decorate('knownPaths', known)

    app.setNotFoundHandler((request, reply) => {
      const path = pathOf(request.raw.url ?? '')
      const allowed = known.methodsOf(path)
      if (allowed.length > 0) {
        const allow = allowed.join(', ')
        void reply.header('allow', allow)
        return sendProblem(reply, 'method-not-allowed', `This path takes ${allow}.`)
      }
      const close = known.nearestTo(path)
      return sendProblem(
        reply,
        'not-found',
        close === undefined
          ? 'No endpoint has this path; /docs lists them all.'
          : `No endpoint has this path; did you mean ${close}?`,
      )
    })
    done()
  },
  { name: 'known-paths', fastify: '5.x' },
)
