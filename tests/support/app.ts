// An app with toy endpoints of its own: what every endpoint passes through is tested without any of the real ones.

import { Writable } from 'node:stream'
import type { FastifyInstance } from 'fastify'
import type { Test } from 'tap'
import { z } from 'zod'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { ProblemError, type Problem } from '../../src/contract/problem.ts'
import { EngineError } from '../../src/engine/errors.ts'
import { question, reference, type Endpoint } from '../../src/routes/endpoint.ts'

const mm = (minimum: number, maximum: number) =>
  z
    .number()
    .min(minimum)
    .max(maximum)
    .meta({ description: 'A length.', 'x-unit': 'mm', examples: [100] })

const measuredMm = z.union([
  mm(10, 2000),
  z.strictObject({ value: mm(10, 2000), standardUncertainty: z.number().gt(0).max(100) }),
])

const ToySkySchema = z
  .union([
    z.strictObject({ magPerArcsec2: z.number().min(10).max(23), airmass: z.number().min(1).optional() }),
    z.strictObject({ bortleClass: z.int().min(1).max(9) }),
  ])
  .meta({ id: 'ToySky', description: 'One of two ways to give a sky.' })

const ToyTargetSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('star'), starMag: z.number() }),
    z.strictObject({
      kind: z.literal('nebula'),
      surfaceMagPerArcsec2: z.number(),
      label: z.string().max(20).optional(),
    }),
  ])
  .meta({ id: 'ToyTarget', description: 'A star or a nebula.' })

export const ToyRequestSchema = z
  .strictObject({
    apertureMm: measuredMm,
    focalLengthMm: mm(10, 20000).optional(),
    sky: ToySkySchema,
    band: z.enum(['luminance', 'red', 'h-alpha']).optional(),
    target: ToyTargetSchema.optional(),
    subLadderSeconds: z.array(z.number().positive()).min(1).max(200).optional(),
    startsAt: z.iso.datetime().optional(),
    night: z.iso.date().optional(),
    label: z.string().min(1).max(30).optional(),
    site: z
      .string()
      .regex(/^[a-z]+$/)
      .optional()
      .meta({ examples: ['meadow'] }),
    dither: z.boolean().optional(),
    lengths: z.union([z.literal('auto'), z.number().min(1)]).optional(),
    weights: z.record(z.string().regex(/^[a-z]+$/), z.number().min(0).max(1)).optional(),
    outcome: z.enum(['engine-refuses', 'no-answer', 'not-a-number', 'unknown-field', 'bug']).optional(),
  })
  .meta({ id: 'ToyRequest', description: 'A toy question.' })

export type ToyRequest = z.infer<typeof ToyRequestSchema>

const ToyAnswerSchema = z
  .strictObject({ apertureMm: z.number(), toSeconds: z.number().nullable(), explanation: z.array(z.string()) })
  .meta({ id: 'ToyAnswer', description: 'A toy answer.' })

function answerToy(request: ToyRequest): z.infer<typeof ToyAnswerSchema> {
  const apertureMm = typeof request.apertureMm === 'number' ? request.apertureMm : request.apertureMm.value
  const answer = { apertureMm, toSeconds: null, explanation: ['Günstig — a toy.'] }
  switch (request.outcome) {
    case undefined:
      return answer
    case 'engine-refuses':
      throw new EngineError('no-solution', 'No sub is long enough.')
    case 'no-answer':
      throw new ProblemError('no-answer', 'Saturated.', [{ pointer: '/sky', message: 'too bright' }])
    case 'not-a-number':
      return { ...answer, apertureMm: NaN }
    case 'unknown-field':
      return { ...answer, secret: 1 } as typeof answer
    case 'bug':
      throw new TypeError('secret internals')
  }
}

const toyQuestion = question({
  id: 'toy',
  path: '/v1/toy',
  tag: 'Toys',
  summary: 'How long is a toy?',
  description: 'Answers what it was asked.',
  request: ToyRequestSchema,
  answer: ToyAnswerSchema,
  examples: {
    'two-fields': { summary: 'The least', request: { apertureMm: 80, sky: { bortleClass: 5 } } },
    'with-uncertainty': {
      summary: 'A measured aperture',
      description: 'With its uncertainty.',
      request: { apertureMm: { value: 80, standardUncertainty: 0.5 }, sky: { magPerArcsec2: 20.6 } },
    },
  },
  handle: answerToy,
})

const ToyTableSchema = z
  .strictObject({ rows: z.array(z.string()) })
  .meta({ id: 'ToyTable', description: 'A toy table.' })

const smallQuestion = question({ ...toyQuestion, id: 'smallToy', path: '/v1/small-toy', bodyLimitBytes: 100 })

const toyReference = reference({
  id: 'toyTable',
  path: '/v1/reference/toys',
  tag: 'Toys',
  summary: 'Which toys are there?',
  description: 'A table.',
  answer: ToyTableSchema,
  content: () => ({ rows: ['ball', 'kite'] }),
})

export const toyEndpoints: readonly Endpoint[] = [toyQuestion, smallQuestion, toyReference]

/** The smallest body that the toy question takes. */
export const toyBody: ToyRequest = { apertureMm: 80, sky: { bortleClass: 5 } }

export interface TestAppOptions {
  /** Environment variables beside a silent log. */
  environment?: Record<string, string>
  endpoints?: readonly Endpoint[]
  batchThreads?: number
}

export interface TestApp {
  app: FastifyInstance
  /** What the log holds so far, parsed. */
  logLines: () => Record<string, unknown>[]
}

/** An app with toy endpoints whose log can be read; closed after the test. */
export async function testApp(
  t: Test,
  { environment = {}, endpoints = toyEndpoints, batchThreads = 0 }: TestAppOptions = {},
): Promise<TestApp> {
  let log = ''
  const logDestination = new Writable({
    write(chunk, _encoding, done) {
      log += String(chunk)
      done()
    },
  })
  const app = await buildApp({ endpoints, config: readConfig(environment), logDestination, batchThreads })
  t.teardown(() => app.close())
  const logLines = () =>
    log
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as Record<string, unknown>)
  return { app, logLines }
}

/** Posts a body (text as it is, anything else as JSON) to a path, the toy question's if none is given. */
export function post(app: FastifyInstance, body: unknown, path = '/v1/toy') {
  return app.inject({
    method: 'POST',
    url: path,
    headers: { 'content-type': 'application/json' },
    payload: typeof body === 'string' ? body : JSON.stringify(body),
  })
}

/** The errors of the problem that a body meets, as `pointer: message`. */
export async function errorsOf(app: FastifyInstance, body: unknown): Promise<string[]> {
  const response = await post(app, body)
  const problem = response.json<Problem>()
  return (problem.errors ?? []).map(({ pointer, message }) => `${pointer}: ${message}`)
}
