import type { FastifyInstance } from 'fastify'
import type { ServiceIndex } from '../contract/service.ts'
import type { Endpoint } from './endpoint.ts'

const METHODS = { question: ['POST', 'GET'], upload: ['POST'], batch: ['POST'], reference: ['GET'] } satisfies Record<
  Endpoint['kind'],
  string[]
>

export interface HomeRoute {
  /** Reference to the schema of the answer. */
  answer: object
  endpoints: readonly Endpoint[]
  version: string
}

/** `GET /`: a browser is led to the documentation, a program gets a list of what there is. */
export function homeRoute(app: FastifyInstance, { answer, endpoints, version }: HomeRoute): void {
  const index: ServiceIndex = {
    name: 'Photon Ledger',
    version,
    description: 'The signal-to-noise accounting of deep-sky imaging.',
    documentation: '/docs',
    openapi: '/openapi.json',
    endpoints: endpoints.map((endpoint) => ({
      path: endpoint.path,
      methods: METHODS[endpoint.kind],
      summary: endpoint.summary,
    })),
  }
  const schema = {
    operationId: 'serviceIndex',
    tags: ['Service'],
    summary: 'What is there?',
    description:
      'Every path with what it answers. A browser (`Accept: text/html`) is led to the documentation instead.',
    response: { 200: answer },
    'x-problems': [429, 503],
  }
  app.get('/', { schema }, (request, reply) => {
    void reply.header('vary', [reply.getHeader('vary'), 'Accept'].filter(Boolean).join(', '))
    const isBrowser = request.headers.accept?.includes('text/html') === true
    return isBrowser ? reply.redirect(index.documentation, 303) : reply.send(index)
  })
}
