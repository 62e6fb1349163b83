import type { FastifyInstance } from 'fastify'
import type { Health } from '../contract/service.ts'

export interface OperationRoutes {
  /** Reference to the schema of the health answers. */
  answer: object
  isDraining: () => boolean
  metrics: { contentType: string; text: () => Promise<string> }
}

const schemaOf = (it: { id: string; summary: string; description: string; response: object }) => ({
  operationId: it.id,
  tags: ['Service'],
  summary: it.summary,
  description: it.description,
  response: it.response,
})

/** For whoever runs instances: is this one alive, does it want requests, how is it doing? */
export function operationRoutes(app: FastifyInstance, { answer, isDraining, metrics }: OperationRoutes): void {
  const config = { unlimited: true }
  const live = schemaOf({
    id: 'healthLive',
    summary: 'Is this instance alive?',
    description: 'Answers as long as the process can answer at all. Never counted against a client.',
    response: { 200: answer },
  })
  app.get('/health/live', { config, schema: live }, (_request, reply) => {
    return reply.header('cache-control', 'no-store').send({ status: 'alive' } satisfies Health)
  })

  const ready = schemaOf({
    id: 'healthReady',
    summary: 'Does this instance want requests?',
    description: '200 while it does; 503 once it is about to stop. Never counted against a client.',
    response: { 200: answer, 503: answer },
  })
  app.get('/health/ready', { config, schema: ready }, (_request, reply) => {
    const status = isDraining() ? 'draining' : 'ready'
    return reply
      .code(status === 'ready' ? 200 : 503)
      .header('cache-control', 'no-store')
      .send({ status } satisfies Health)
  })

  app.get('/metrics', { config, schema: { hide: true } }, async (_request, reply) => {
    void reply.headers({ 'content-type': metrics.contentType, 'cache-control': 'no-store' })
    return metrics.text()
  })
}
