// From a line of a batch to a line of its answer, by the same steps that a question asked by itself takes.

import type { BatchLine } from '../../contract/batch.ts'
import { ProblemError } from '../../contract/problem.ts'
import type { Endpoint, Question } from '../../routes/endpoint.ts'
import type { ContractCheck } from '../contract-check.ts'
import { nameOf } from '../../contract/json-schemas.ts'
import { invalidRequest } from '../invalid-request.ts'
import { columnOnly, readJson } from '../json-text.ts'
import { nearest } from '../../contract/nearest.ts'
import { internalError, refusalOf } from '../problems.ts'
import { linesOf, refusalLine, type Fault, type Slab, type SlabLine } from './slab.ts'

/** Answers the questions of a slab, one at a time; faults of the service go to the list. */
export type SlabAnswerer = (slab: Slab, faults: Fault[]) => Generator<string>

type Ask = (request: unknown) => string

export function buildSlabAnswerer(endpoints: readonly Endpoint[], check: ContractCheck): SlabAnswerer {
  const questions = endpoints.filter((endpoint): endpoint is Question => endpoint.kind === 'question')
  // A thread that has just started compiles the checks of the questions it meets and no others: a batch waits for it.
  const asks = new Map(questions.map((question) => [question.path, onFirstUse(() => askOf(question, check))]))
  const elsewhere = new Set(endpoints.map(({ path }) => path))
  const errorsOfLine = check.errorsOf('BatchLine')

  const askAt = (path: string): Ask => {
    const ask = asks.get(path)
    if (ask !== undefined) return ask()
    if (elsewhere.has(path)) {
      throw invalidLine([{ pointer: '/path', message: `${path} cannot be asked in a batch; ask it by itself` }])
    }
    const close = nearest(path, [...asks.keys()])
    const hint = close === undefined ? '/docs lists them all.' : `did you mean ${close}?`
    throw new ProblemError('not-found', `No question has this path; ${hint}`)
  }

  const answer = ({ line, bytes }: SlabLine, faults: Fault[]): string => {
    let asked: unknown
    try {
      asked = readLine(bytes)
      const errors = errorsOfLine(asked)
      if (errors.length > 0) throw invalidLine(errors)
      const { path, request, id } = asked as BatchLine
      const name = id === undefined ? '' : `"id":${JSON.stringify(id)},`
      return `{"line":${line},${name}"status":200,"answer":${askAt(path)(request)}}\n`
    } catch (error) {
      const refusal = refusalOf(error)
      if (refusal === undefined) faults.push(faultOf(error, asked))
      return refusalLine(line, refusal ?? internalError(), idOf(asked))
    }
  }

  return function* (slab, faults) {
    for (const line of linesOf(slab)) yield answer(line, faults)
  }
}

function onFirstUse<T>(make: () => T): () => T {
  let made: T | undefined
  return () => (made ??= make())
}

function askOf(question: Question, check: ContractCheck): Ask {
  const errorsOf = check.errorsOf(nameOf(question.request))
  const write = check.writerOf(nameOf(question.answer))
  return (request) => {
    const errors = errorsOf(request)
    if (errors.length > 0) throw invalidRequest(errors)
    return write(question.handle(request))
  }
}

type Errors = ProblemError['errors']

const invalidLine = (errors: Errors) =>
  new ProblemError('invalid-line', 'The line is not a question of a batch.', errors)

const WITHIN_REQUEST = /^\/request(?=\/)/

/** Pointers of what reading finds lead into the request, as they would if it were a body of its own. */
function readLine(bytes: Uint8Array): unknown {
  try {
    return readJson(bytes, 'The line', columnOnly)
  } catch (error) {
    if (!(error instanceof ProblemError) || error.kind !== 'invalid-request') throw error
    const { kind, message, errors } = error
    if (!errors.every(({ pointer }) => WITHIN_REQUEST.test(pointer))) throw invalidLine(errors)
    throw new ProblemError(
      kind,
      message,
      errors.map((it) => ({ ...it, pointer: it.pointer.replace(WITHIN_REQUEST, '') })),
    )
  }
}

/** The name of a line that is wrong elsewhere. */
function idOf(asked: unknown): string | undefined {
  const id = (asked as Partial<BatchLine> | null | undefined)?.id
  return typeof id === 'string' && id !== '' && id.length <= 100 ? id : undefined
}

function faultOf(error: unknown, asked: unknown): Fault {
  const { path } = asked as BatchLine
  return { path, reason: error instanceof Error ? (error.stack ?? error.message) : String(error) }
}
