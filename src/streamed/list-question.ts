// `POST` of a question about a long list: the body is read as it comes in, in JSON or CSV, under a clock of its own, and
// the answer is reckoned turn by turn.

import type { FastifyInstance, FastifyReply, FastifyRequest, onRequestHookHandler } from 'fastify'
import { nameOf, referenceTo } from '../contract/json-schemas.ts'
import { ProblemError } from '../contract/problem.ts'
import { BodyBudget, RETRY_SECONDS } from '../plugins/body-budget.ts'
import type { ContractCheck } from '../plugins/contract-check.ts'
import { invalidRequest } from '../plugins/invalid-request.ts'
import { readCsvLines, readJsonLines } from '../plugins/lines-body.ts'
import { readLink, refuseParameters } from '../plugins/link.ts'
import { answersJson, CSV_TYPE, isCsv, JSON_TYPE, readsJsonOrCsv } from '../plugins/negotiation.ts'
import type { OperationNotes } from '../plugins/openapi-complete.ts'
import { UPLOAD_PACE, watching, type UploadPace } from '../plugins/upload-watch.ts'
import type { LongList, Question } from '../routes/endpoint.ts'

/** A log of 100,000 lines, at this rate, takes six minutes in CSV and twenty in JSON. */
const PACE: UploadPace = { ...UPLOAD_PACE, bytesPerSecond: 16_384 }

export interface ListPost {
  question: Question
  list: LongList<Record<string, unknown>, unknown>
  bodyLimit: number
  /** What the schema of the route says beside its body. */
  about: object
  check: ContractCheck
  /** How slowly the body may come. */
  pace?: UploadPace
  /** Bytes that all bodies under way may have together. */
  mostBytesAtOnce?: number
}

/** Of the longest bodies so many may come in at once. */
const LONGEST_AT_ONCE = 8

export function addListPost(app: FastifyInstance, post: ListPost): void {
  const { question, list, bodyLimit, about, pace = PACE } = post
  const budget = new BodyBudget(post.mostBytesAtOnce ?? LONGEST_AT_ONCE * bodyLimit)
  const ofJson = jsonAnswerer(post)
  const ofCsv = csvAnswerer(post)
  const body = {
    content: {
      [JSON_TYPE]: { schema: { $ref: referenceTo(nameOf(question.request)) } },
      [CSV_TYPE]: { schema: { $ref: referenceTo(nameOf(list.csv)) } },
    },
  }
  void app.register((scope, _options, done) => {
    scope.removeAllContentTypeParsers()
    scope.addContentTypeParser([JSON_TYPE, CSV_TYPE], (_request, _payload, parsed) => {
      parsed(null)
    })
    scope.route({
      method: 'POST',
      url: question.path,
      bodyLimit,
      onRequest: [answersJson, readsJsonOrCsv, fits, watching(bodyLimit, pace)],
      // What comes in is checked when it has come.
      validatorCompiler: () => () => true,
      schema: {
        ...about,
        operationId: question.id,
        body,
        ...({
          'x-problems': [400, 406, 408, 413, 415, 422, 429, 503],
          'x-csv': { setup: nameOf(list.setup), examples: list.csvExamples },
        } satisfies OperationNotes),
      },
      handler: async (request, reply) => {
        const meter = budget.open(bodyLimit)
        try {
          const answerOf = isCsv(request.headers['content-type'] ?? '') ? ofCsv : ofJson
          return await answerOf(request, meter.count)
        } catch (error) {
          throw refusalOf(error, request, reply)
        } finally {
          meter.close()
        }
      },
    })
    done()
  })
}

type Answerer = (request: FastifyRequest, count: (bytes: number) => void) => Promise<unknown>

function jsonAnswerer({ question, list, check }: ListPost): Answerer {
  const errorsOf = check.errorsOf(nameOf(question.request))
  return async ({ raw, query }, count) => {
    refuseParameters(query)
    const reader = list.readItems()
    const value = await readJsonLines(raw, count, list.field, reader)
    const errors = errorsOf(value)
    if (errors.length > 0) throw invalidRequest(errors)
    return reader.answer(withoutList(value as Record<string, unknown>, list.field))
  }
}

function csvAnswerer({ list, check }: ListPost): Answerer {
  const errorsOf = check.errorsOf(nameOf(list.setup))
  return async ({ raw, query }, count) => {
    const setup = readLink(query)
    const errors = errorsOf(setup)
    if (errors.length > 0) throw invalidRequest(errors)
    const reader = list.readCsv()
    await readCsvLines(raw, count, reader.take)
    return reader.answer(setup as Record<string, unknown>)
  }
}

const withoutList = (value: Record<string, unknown>, field: string) =>
  Object.fromEntries(Object.entries(value).filter(([name]) => name !== field))

/** 413 for a body that is declared too long. */
const fits: onRequestHookHandler = ({ headers, routeOptions }, reply, next) => {
  const { bodyLimit } = routeOptions
  if (Number(headers['content-length']) > bodyLimit) {
    void reply.header('connection', 'close')
    next(new ProblemError('body-too-large', `The body may have ${bodyLimit} bytes.`))
  } else next()
}

/** What is still to come is thrown away, so that a client which goes on sending hears the answer. */
function refusalOf(error: unknown, { raw }: FastifyRequest, reply: FastifyReply): unknown {
  raw.resume()
  if (error instanceof ProblemError && error.kind === 'overloaded') void reply.header('retry-after', RETRY_SECONDS)
  return raw.errored ? new ProblemError('unreadable-request', 'The body broke off.') : error
}
