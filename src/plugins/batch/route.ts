// `POST` of a batch: what HTTP asks of it, and the rules that end one.

import { Readable } from 'node:stream'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { MOST_BATCH_BYTES } from '../../contract/batch.ts'
import { ProblemError } from '../../contract/problem.ts'
import type { Batch } from '../../routes/endpoint.ts'
import { letRequestTakeLong } from '../broken-http.ts'
import { nameOf, referenceTo } from '../../contract/json-schemas.ts'
import { refuseParameters } from '../link.ts'
import { answersNdjson, NDJSON, NDJSON_TYPES, readsNdjson } from '../negotiation.ts'
import type { OperationNotes } from '../openapi-complete.ts'
import { refusalOf } from '../problems.ts'
import { tooManyRequests } from '../rate-limit.ts'
import { answerBatch, type BatchTerms } from './answer-batch.ts'
import { AnswerBlocks } from './answer-blocks.ts'
import type { Answerer } from './answerers.ts'
import { BatchInput } from './batch-input.ts'

/** Batches that are answered at once; each may hold a whole body in memory. */
const MOST_AT_ONCE = 8
const RETRY_SECONDS = 5
/**
 * How long answers may lie unread on a connection that is otherwise still. A system keeps some megabytes for a connection
 * and tells of no progress before much of that has been read: a slow line takes minutes over it.
 */
const STILL_MILLISECONDS = 150_000
const LONGEST_MILLISECONDS = 1_800_000
/** How long a client may go on sending after the last line of its answer. */
const LINGER_MILLISECONDS = 2_000
/** So the longest batch, about a second of work, takes most of the default minute of one client. */
const QUESTIONS_PER_REQUEST = 20

export interface BatchRoute {
  endpoint: Batch
  answerer: Answerer
}

export function batchRoute(app: FastifyInstance, { endpoint, answerer }: BatchRoute): void {
  const freeBlocks: ArrayBuffer[] = []
  let underWay = 0
  const enter = (reply: FastifyReply): void => {
    if (underWay >= MOST_AT_ONCE) {
      void reply.header('retry-after', RETRY_SECONDS)
      throw new ProblemError(
        'overloaded',
        `${MOST_AT_ONCE} batches are under way; ask again in ${RETRY_SECONDS} seconds.`,
      )
    }
    underWay++
    reply.raw.once('close', () => underWay--)
  }

  void app.register((scope, _options, done) => {
    scope.addContentTypeParser(NDJSON_TYPES, (_request, payload, parsed) => {
      parsed(null, payload)
    })
    scope.route({
      method: 'POST',
      url: endpoint.path,
      bodyLimit: MOST_BATCH_BYTES,
      onRequest: [answersNdjson, readsNdjson],
      // Lines are checked one by one as they come.
      validatorCompiler: () => () => true,
      serializerCompiler: () => String,
      schema: schemaOf(endpoint),
      handler: (request, reply) => {
        refuseParameters(request.query)
        enter(reply)
        const stopped = limitConnection(request, reply)
        const input = new BatchInput(request.raw)
        stopped.addEventListener('abort', () => {
          input.stop()
        })
        const blocks = new AnswerBlocks(freeBlocks, () => lines.readableLength + reply.raw.writableLength)
        const terms = { answerer, blocks, ...termsOf(app, request), stopped }
        const lines = Readable.from(answerBatch(input, terms), { objectMode: false })
        reply.raw.once('finish', () => {
          blocks.sent()
        })
        return reply.type(NDJSON).header('cache-control', 'no-store').send(lines)
      },
    })
    done()
  })
  app.server.once('close', () => void answerer.close())
}

/** Lets a batch take its time, and ends it when its connection ends, is not read from or stays too long. */
function limitConnection({ raw }: FastifyRequest, reply: FastifyReply): AbortSignal {
  const stop = new AbortController()
  const hurryAgain = letRequestTakeLong(raw.socket)
  const cut = () => reply.raw.destroy()
  const watch = setInterval(unreadWatch(raw.socket, reply.raw, cut), STILL_MILLISECONDS)
  const longest = setTimeout(cut, LONGEST_MILLISECONDS)
  reply.raw.once('close', () => {
    clearInterval(watch)
    clearTimeout(longest)
    stop.abort()
    if (raw.complete) {
      hurryAgain()
      return
    }
    // A client that still sends would lose what it has not read yet if its connection were cut at once.
    const linger = setTimeout(() => {
      if (raw.complete) hurryAgain()
      else raw.destroy()
    }, LINGER_MILLISECONDS)
    linger.unref()
  })
  return stop.signal
}

/** Looks whether answers still lie where they lay at the last look; a question that takes long is another matter. */
export function unreadWatch(
  socket: { readonly bytesWritten: number },
  response: { readonly writableLength: number },
  cut: () => void,
): () => void {
  let before = ''
  return () => {
    const now = `${socket.bytesWritten} ${response.writableLength}`
    if (response.writableLength > 0 && now === before) cut()
    before = now
  }
}

function termsOf(app: FastifyInstance, request: FastifyRequest): Pick<BatchTerms, 'charge' | 'report'> {
  let asked = 0
  let charged = 1
  return {
    charge: (questions) => {
      asked += questions
      const due = Math.ceil(asked / QUESTIONS_PER_REQUEST) - charged
      if (due <= 0) return undefined
      charged += due
      const allowance = app.chargeClient(request.ip, due)
      return allowance.remaining < 0 ? refusalOf(tooManyRequests(allowance)) : undefined
    },
    report: ({ path, reason }) => {
      request.log.error({ err: reason, method: 'POST', route: path }, 'no answer in a batch')
    },
  }
}

function schemaOf({ id, tag, summary, description, line, answerLine, examples }: Batch): object {
  const lines = (name: string) => ({
    type: 'string',
    description: `Lines of JSON; each is a \`${name}\`.`,
    contentSchema: { $ref: referenceTo(name) },
  })
  const texts = Object.entries(examples).map(([name, { lines: asked, ...about }]) => [
    name,
    { ...about, request: asked.map((it) => `${JSON.stringify(it)}\n`).join('') },
  ])
  return {
    operationId: id,
    tags: [tag],
    summary,
    description,
    // With a contentMediaType of its own the documentation page would ask for a file in place of the example.
    body: { content: { [NDJSON]: { schema: lines(nameOf(line)) } } },
    response: {
      200: {
        description: 'An answer or a problem for each question.',
        content: { [NDJSON]: { schema: { ...lines(nameOf(answerLine)), contentMediaType: NDJSON } } },
      },
    },
    'x-request-examples': Object.fromEntries(texts) as NonNullable<OperationNotes['x-request-examples']>,
    'x-problems': [400, 406, 413, 415, 429, 503],
  }
}
