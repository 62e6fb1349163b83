// Puts the service together: what every request passes, then a route for every endpoint. Never listens.

import type { Server } from 'node:http'
import { fastify, type FastifyHttpOptions, type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify'
import type { DestinationStream } from 'pino'
import type { Config } from './config.ts'
import { nameOf, referenceTo } from './contract/json-schemas.ts'
import { HealthSchema, ProblemTypeSchema, ServiceIndexSchema } from './contract/service.ts'
import type { FramePoolOptions } from './frames/index.ts'
import { buildSlabAnswerer } from './plugins/batch/answer-slab.ts'
import { inThreads, inTurns } from './plugins/batch/answerers.ts'
import { batchRoute } from './plugins/batch/route.ts'
import { answerBrokenHttp, MOST_HEADER_BYTES } from './plugins/broken-http.ts'
import { sendCached } from './plugins/caching.ts'
import { buildContractCheck, type ContractCheck } from './plugins/contract-check.ts'
import { cors } from './plugins/cors.ts'
import { draining } from './plugins/draining.ts'
import { invalidRequest } from './plugins/invalid-request.ts'
import { jsonBody } from './plugins/json-body.ts'
import { knownPaths } from './plugins/known-paths.ts'
import { readLink, refuseParameters } from './plugins/link.ts'
import { metrics } from './plugins/metrics.ts'
import { answersJson, readsJson } from './plugins/negotiation.ts'
import type { OperationNotes } from './plugins/openapi-complete.ts'
import { openapi } from './plugins/openapi.ts'
import { overload } from './plugins/overload.ts'
import { answerError, problems } from './plugins/problems.ts'
import { QuickBody, readQuickBodies } from './plugins/quick-body.ts'
import { rateLimit } from './plugins/rate-limit.ts'
import { requestGuard } from './plugins/request-guard.ts'
import { buildLogger, requestLog } from './plugins/request-log.ts'
import { buildRounds, type Rounds } from './plugins/rounds.ts'
import { securityHeaders } from './plugins/security-headers.ts'
import type { Batch, Endpoint, Question, Reference } from './routes/endpoint.ts'
import { operationRoutes } from './routes/health.ts'
import { homeRoute } from './routes/home.ts'
import { problemTypeRoute } from './routes/problem-types.ts'
import { addFormRoute } from './streamed/forms.ts'
import { addListPost } from './streamed/list-question.ts'
import { addUpload, lazyFramePool, type UploadOptions } from './streamed/uploads.ts'
import { VERSION } from './version.ts'

/** Bytes that the body of a question may have, unless its endpoint says otherwise. */
export const BODY_LIMIT_BYTES = 65536

export interface AppOptions {
  endpoints: readonly Endpoint[]
  config: Config
  /** Where log lines go; standard output if not given. */
  logDestination?: DestinationStream
  /**
   * Threads that answer batches; they know the endpoints of `routes/index.ts` and no others. With none, the event loop
   * answers them itself, in turns with everything else.
   */
  batchThreads?: number
  /** Room for frames, and how slowly they may come. */
  uploads?: (FramePoolOptions & Pick<UploadOptions, 'pace'>) | undefined
}

// Slow clients are cut off: five seconds for the head, ten for the whole request, five between two requests.
function serverOptions({ config, logDestination }: AppOptions): FastifyHttpOptions<Server> {
  return {
    ...buildLogger(config.logLevel, logDestination),
    trustProxy: config.trustProxy,
    bodyLimit: BODY_LIMIT_BYTES,
    requestTimeout: 10_000,
    keepAliveTimeout: 5_000,
    return503OnClosing: false,
    http: {
      headersTimeout: 5_000,
      connectionsCheckingInterval: 1_000,
      keepAliveTimeout: 5_000,
      maxHeaderSize: MOST_HEADER_BYTES,
      requireHostHeader: false,
    },
    clientErrorHandler: answerBrokenHttp,
    frameworkErrors: (error, request, reply) => {
      void answerError(error, request, reply)
    },
  }
}

interface NamedSchema {
  $ref: string
}

const reference = (name: string): NamedSchema => ({ $ref: referenceTo(name) })

/** The schemas of the contract validate what comes in and write what goes out. */
function useContract(app: FastifyInstance, check: ContractCheck): void {
  for (const schema of Object.values(check.schemas)) {
    // Parameters of a query stand in the document one by one.
    if (!('x-query' in schema)) app.addSchema(schema)
  }
  const named = (schema: unknown) => (schema as NamedSchema).$ref.replace(/#$/, '')
  app.setValidatorCompiler(({ schema, httpPart }) => {
    // A body that is not JSON has no schema of the contract; its handler looks at it.
    if (httpPart !== 'body' || !('$ref' in (schema as object))) return () => true
    const errorsOf = check.errorsOf(named(schema))
    return (value: unknown) => {
      if (value instanceof QuickBody) return { value }
      const errors = errorsOf(value)
      return errors.length === 0 ? { value } : { error: invalidRequest(errors) }
    }
  })
  app.setSerializerCompiler(({ schema }) => check.writerOf(named(schema)))
}

const documented = ({ tag, summary, description }: Endpoint) => ({ tags: [tag], summary, description })

/** Answers a request of a question in a round, by the text to send. */
type Answering = (request: unknown, reply: FastifyReply) => Promise<string>

function answeringOf(question: Question, check: ContractCheck, inRound: Rounds): Answering {
  const write = check.writerOf(nameOf(question.answer))
  const { quick } = question
  const handle = (request: unknown) =>
    request instanceof QuickBody ? quick?.handle(request.rest, request.items) : question.handle(request)
  return async (request, reply) => {
    const text = await inRound(() => write(handle(request)))
    void reply.type('application/json; charset=utf-8')
    return text
  }
}

interface QuestionOptions {
  uploads: UploadOptions
  inRound: Rounds
}

/** `POST path`, and the same as a link: `GET path?request=…`. */
async function addQuestion(app: FastifyInstance, question: Question, options: QuestionOptions): Promise<void> {
  const { uploads, inRound } = options
  const { check } = uploads
  const answering = answeringOf(question, check, inRound)
  const requestName = nameOf(question.request)
  const response = { 200: reference(nameOf(question.answer)) }
  const about = { ...documented(question), response, 'x-request-examples': question.examples }

  if (question.list !== undefined) {
    addListPost(app, { question, list: question.list, bodyLimit: limitOf(question), about, check })
  } else await addPost(app, question, { about, answering, uploads })

  const errorsOf = check.errorsOf(requestName)
  app.route({
    method: ['GET', 'HEAD'],
    url: question.path,
    onRequest: answersJson,
    onSend: sendCached,
    schema: {
      ...about,
      operationId: `${question.id}Link`,
      ...({ 'x-problems': [400, 406, 414, 422, 429, 431, 503], 'x-link': requestName } satisfies OperationNotes),
    },
    handler: async ({ query }, reply) => {
      const request = readLink(query)
      const errors = errorsOf(request)
      if (errors.length > 0) throw invalidRequest(errors)
      return answering(request, reply)
    },
  })
}

const limitOf = ({ bodyLimitBytes = BODY_LIMIT_BYTES }: Question) => bodyLimitBytes

interface PostOptions {
  about: { description: string }
  answering: Answering
  uploads: UploadOptions
}

async function addPost(app: FastifyInstance, question: Question, options: PostOptions): Promise<void> {
  const { about, answering, uploads } = options
  const post = {
    method: 'POST' as const,
    url: question.path,
    bodyLimit: limitOf(question),
    schema: {
      ...about,
      operationId: question.id,
      body: reference(nameOf(question.request)),
      ...({ 'x-problems': [400, 406, 413, 415, 422, 429, 503] } satisfies OperationNotes),
    },
    handler: async ({ body, query }: FastifyRequest, reply: FastifyReply) => {
      refuseParameters(query)
      return answering(body, reply)
    },
  }
  if (question.form) {
    await addFormRoute(app, post, question.form, uploads)
    return
  }
  const { quick } = question
  await app.register((scope, _options, done) => {
    if (quick) readQuickBodies(scope, { list: quick, errorsOf: uploads.check.errorsOf(nameOf(question.request)) })
    scope.route({ ...post, onRequest: [answersJson, readsJson] })
    done()
  })
}

/** A table that never changes: checked and written once, at the start. */
function addReference(app: FastifyInstance, it: Reference, check: ContractCheck): void {
  const answerName = nameOf(it.answer)
  const bytes = check.writerOf(answerName)(it.content())
  app.route({
    method: ['GET', 'HEAD'],
    url: it.path,
    onRequest: answersJson,
    onSend: sendCached,
    schema: {
      ...documented(it),
      operationId: it.id,
      response: { 200: reference(answerName) },
      ...({ 'x-problems': [400, 406, 429, 503] } satisfies OperationNotes),
    },
    handler: ({ query }, reply) => {
      refuseParameters(query)
      return reply.header('content-type', 'application/json').send(bytes)
    },
  })
}

function addBatch(app: FastifyInstance, endpoint: Batch, options: AppOptions, check: ContractCheck): void {
  const { endpoints, batchThreads = 0 } = options
  const turns = inTurns(buildSlabAnswerer(endpoints, check))
  const script = new URL('./batch-thread.js', import.meta.url)
  const answerer = batchThreads > 0 ? inThreads(script, batchThreads, check.schemas, turns) : turns
  app.metrics.watch('batch_threads', 'Threads that answer batches, now.', () => answerer.threads)
  batchRoute(app, { endpoint, answerer })
}

/**
 * The service, ready to listen or to be asked with `inject`.
 *
 * @throws {Error} when an endpoint's schemas cannot be published as they are, or a table breaks its schema
 */
export async function buildApp(options: AppOptions): Promise<FastifyInstance> {
  const { endpoints, config } = options
  const app = fastify(serverOptions(options))
  const check = buildContractCheck()
  useContract(app, check)

  await app.register(problems)
  await app.register(knownPaths)
  await app.register(requestLog)
  await app.register(metrics)
  await app.register(draining)
  await app.register(securityHeaders)
  await app.register(requestGuard)
  await app.register(cors, { origins: config.corsOrigins })
  await app.register(openapi, { version: VERSION })
  await app.register(rateLimit, { perMinute: config.rateLimitPerMinute })
  await app.register(overload)
  await app.register(jsonBody)

  const inRound = buildRounds()
  const uploads = { check, frames: lazyFramePool(app, options.uploads), pace: options.uploads?.pace }
  for (const endpoint of endpoints) {
    if (endpoint.kind === 'question') await addQuestion(app, endpoint, { uploads, inRound })
    else if (endpoint.kind === 'upload') await addUpload(app, endpoint, uploads)
    else if (endpoint.kind === 'batch') addBatch(app, endpoint, options, check)
    else addReference(app, endpoint, check)
  }
  operationRoutes(app, {
    answer: reference(nameOf(HealthSchema)),
    isDraining: () => app.draining.active,
    metrics: app.metrics,
  })
  homeRoute(app, { answer: reference(nameOf(ServiceIndexSchema)), endpoints, version: VERSION })
  problemTypeRoute(app, reference(nameOf(ProblemTypeSchema)))
  await app.ready()
  return app
}
