// Routes whose body is taken as it streams in: other types than JSON, their own count of bytes, and their own clock.

import type { Readable } from 'node:stream'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ProblemError } from '../contract/problem.ts'
import { FramePool, FramePoolFull, type FramePoolOptions } from '../frames/index.ts'
import type { ContractCheck } from '../plugins/contract-check.ts'
import { nameOf, referenceTo } from '../contract/json-schemas.ts'
import type { JsonSchema } from '../contract/explain/json-schema.ts'
import { answersJson } from '../plugins/negotiation.ts'
import type { OperationNotes } from '../plugins/openapi-complete.ts'
import { asksFirst, codingOf, readParameters, readsUpload } from '../plugins/upload-head.ts'
import { watching, type UploadPace } from '../plugins/upload-watch.ts'
import type { Upload, UploadContext } from '../routes/endpoint.ts'

/** Until a frame that is being measured or received is likely done. */
const RETRY_SECONDS = 10
const CODINGS = ['gzip']

export interface UploadOptions {
  check: ContractCheck
  frames: () => FramePool
  pace?: UploadPace | undefined
}

/** The pool of an app: made for the first frame, closed with the app. */
export function lazyFramePool(app: FastifyInstance, options: FramePoolOptions = {}): () => FramePool {
  let pool: FramePool | undefined
  app.addHook('onClose', async () => {
    await pool?.close()
  })
  return () => (pool ??= new FramePool(options))
}

/** `POST path` with a body of one of the upload's types. */
export async function addUpload(app: FastifyInstance, it: Upload, options: UploadOptions): Promise<void> {
  const parametersName = nameOf(it.parameters)
  const schema = options.check.schemas[parametersName] ?? {}
  const errorsOf = options.check.errorsOf(parametersName)
  await app.register((scope, _options, done) => {
    scope.removeAllContentTypeParsers()
    scope.addContentTypeParser([...it.mediaTypes], (_request, body, parsed) => {
      parsed(null, body)
    })
    scope.route({
      method: 'POST',
      url: it.path,
      config: { streams: true },
      onRequest: [watching(it.maximumBytes, options.pace), answersJson, readsUpload(it, CODINGS)],
      schema: {
        ...described(it),
        querystring: { type: 'object', properties: withoutExamples(schema.properties ?? {}) },
      },
      handler: (request, reply) =>
        streaming(request, reply, options.frames, (body, context) =>
          it.handle(body, readParameters(request.query, schema, errorsOf), context),
        ),
    })
    done()
  })
}

/** The documentation page would send an example of every parameter unasked. */
export function withoutExamples(properties: Readonly<Record<string, JsonSchema>>): Record<string, object> {
  return Object.fromEntries(
    Object.entries(properties).map(([name, property]) => [name, { ...property, examples: undefined }]),
  )
}

function described({ id, tag, summary, description, mediaTypes, answer }: Upload) {
  const file = { schema: { type: 'string', format: 'binary' } }
  return {
    tags: [tag],
    summary,
    description,
    operationId: id,
    headers: {
      type: 'object',
      properties: {
        'content-encoding': { type: 'string', enum: CODINGS, description: 'For a body that is compressed.' },
      },
    },
    body: { content: Object.fromEntries(mediaTypes.map((type) => [type, file])) },
    response: { 200: { $ref: referenceTo(nameOf(answer)) } },
    ...({ 'x-problems': [400, 406, 408, 413, 415, 422, 429, 503] } satisfies OperationNotes),
  }
}

/** Runs the handler of an upload; whatever it leaves of the body is thrown away, so that the client hears the answer. */
export async function streaming<Answer>(
  request: FastifyRequest,
  reply: FastifyReply,
  frames: () => FramePool,
  handle: (body: AsyncIterable<Uint8Array>, context: UploadContext, goOn: () => void) => Promise<Answer>,
): Promise<Answer> {
  const gone = new AbortController()
  reply.raw.once('close', () => {
    if (!reply.raw.writableFinished) gone.abort(new Error('The client is gone.'))
  })
  let isLeaveGiven = !asksFirst(request)
  const goOn = (): void => {
    if (!isLeaveGiven) reply.raw.writeContinue()
    isLeaveGiven = true
  }
  const encoding = codingOf(request) === 'gzip' ? 'gzip' : 'identity'
  try {
    return await handle(bodyOf(request, goOn), { frames: frames(), encoding, signal: gone.signal }, goOn)
  } catch (error) {
    if (isLeaveGiven)
      request.raw
        .unpipe()
        .on('data', () => undefined)
        .resume()
    else void reply.header('connection', 'close')
    throw refusalOf(error, request, reply, gone.signal)
  }
}

/** A client that asks first is told to go on when the body is first looked at. The stream is left open by who stops early. */
async function* bodyOf({ raw }: FastifyRequest, goOn: () => void): AsyncGenerator<Uint8Array> {
  goOn()
  yield* (raw as Readable).iterator({ destroyOnReturn: false }) as AsyncIterableIterator<Uint8Array>
}

function refusalOf(error: unknown, { raw }: FastifyRequest, reply: FastifyReply, gone: AbortSignal): unknown {
  if (error instanceof FramePoolFull) {
    void reply.header('retry-after', RETRY_SECONDS)
    return new ProblemError('overloaded', `${error.message} Ask again in ${RETRY_SECONDS} seconds.`)
  }
  if (gone.aborted || raw.errored) return new ProblemError('unreadable-request', 'The upload broke off.')
  return error
}
