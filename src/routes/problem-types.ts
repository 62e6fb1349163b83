import type { FastifyInstance } from 'fastify'
import { ProblemError, PROBLEMS } from '../contract/problem.ts'
import type { ProblemType } from '../contract/service.ts'

const isKnown = (kind: string): kind is keyof typeof PROBLEMS => Object.hasOwn(PROBLEMS, kind)

/** `GET /problems/:kind`: where the `type` of a problem document leads. */
export function problemTypeRoute(app: FastifyInstance, answer: object): void {
  const schema = {
    operationId: 'problemType',
    tags: ['Service'],
    summary: 'What does this problem mean?',
    description: 'The `type` of every problem document leads here: what has happened, and what to do about it.',
    params: {
      type: 'object',
      properties: {
        kind: { type: 'string', enum: Object.keys(PROBLEMS), description: 'Last part of the `type` of a problem.' },
      },
      required: ['kind'],
    },
    response: { 200: answer },
    'x-problems': [404, 429, 503],
  }
  app.get<{ Params: { kind: string } }>('/problems/:kind', { schema }, (request, reply) => {
    const { kind } = request.params
    if (!isKnown(kind)) throw new ProblemError('not-found', `No kind of problem is named ${kind}.`)
    return reply.send({ type: `/problems/${kind}`, ...PROBLEMS[kind] } satisfies ProblemType)
  })
}
