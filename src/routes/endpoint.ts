import type { z } from 'zod'
import type { BatchExample } from '../contract/batch.ts'

export interface Example<Request> {
  /** What the example shows, in a few words. */
  summary: string
  description?: string
  request: Request
}

/** A `POST` with a JSON body that is also a `GET <path>?request=` link: stateless, and a function of its body alone. */
export interface Question<Request = unknown, Answer = unknown> {
  kind: 'question'
  /** operationId of the `POST`; the link's is the same with `Link` behind it. */
  id: string
  path: string
  tag: string
  summary: string
  description: string
  request: z.ZodType<Request>
  answer: z.ZodType<Answer>
  /** Bytes that the body may have; 65536 if not given. */
  bodyLimitBytes?: number
  /** At least two, keyed by a kebab-case name. */
  examples: Record<string, Example<Request>>
  /** Pure. Throws EngineError or ProblemError when there is no answer. */
  handle: (request: Request) => Answer
}

/** A `GET` of constant data. */
export interface Reference<Answer = unknown> {
  kind: 'reference'
  id: string
  path: string
  tag: string
  summary: string
  description: string
  answer: z.ZodType<Answer>
  content: () => Answer
}

/** A `POST` of many questions, a line each; whoever registers it knows how they are answered. */
export interface Batch {
  kind: 'batch'
  id: string
  path: string
  tag: string
  summary: string
  description: string
  /** A line of the body, and a line of what comes back. */
  line: z.ZodType
  answerLine: z.ZodType
  examples: Record<string, BatchExample>
}

// The list of endpoints holds each with its own types; whoever registers them treats all alike.
// eslint-disable-next-line @typescript-eslint/no-explicit-any -- a list of differently typed functions has no other common type
export type Endpoint = Question<any, any> | Reference<any> | Batch

/** Names the types of a question from its schemas, so that contract and engine cannot disagree. */
export function question<Request, Answer>(it: Omit<Question<Request, Answer>, 'kind'>): Question<Request, Answer> {
  return { kind: 'question', ...it }
}

/** As {@link question}, for constant data. */
export function reference<Answer>(it: Omit<Reference<Answer>, 'kind'>): Reference<Answer> {
  return { kind: 'reference', ...it }
}
