// What the generated OpenAPI document lacks: named examples, the parameter of a link, problem responses.

import { problem, PROBLEMS, type ProblemKind } from '../contract/problem.ts'

/** A worked example of a request, as an endpoint declares it. */
export interface RequestExample {
  summary: string
  description?: string
  request: unknown
}

/** What an operation's schema carries for {@link completeDocument} to work in; none of it is published. */
export interface OperationNotes {
  /** Statuses of the problems that it can answer with. */
  'x-problems': readonly number[]
  'x-request-examples'?: Readonly<Record<string, RequestExample>>
  /** Name of the request's schema, for the link form. */
  'x-link'?: string
  /** For a body that may be CSV: the schema of the rest of the question, and examples of both. */
  'x-csv'?: { setup: string; examples: Readonly<Record<string, RequestExample & { setup: unknown }>> }
}

interface Media {
  schema: unknown
  examples?: Record<string, unknown>
}

interface Response {
  $ref?: string
  description?: string
  headers?: Record<string, unknown>
  content?: Record<string, Media>
}

interface Operation extends Partial<OperationNotes> {
  tags?: string[]
  parameters?: unknown[]
  requestBody?: { content: Record<string, Media> }
  responses: Partial<Record<string, Response>>
}

interface Document {
  tags?: { name: string }[]
  paths?: Record<string, Record<string, Operation>>
  components?: { responses?: Record<string, Response> }
}

const kindsOf = (status: number) =>
  (Object.keys(PROBLEMS) as ProblemKind[]).filter((kind) => PROBLEMS[kind].status === status)

const headers = (about: Record<string, string>) =>
  Object.fromEntries(
    Object.entries(about).map(([name, description]) => [name, { description, schema: { type: 'string' } }]),
  )

const problemHeaders: Readonly<Record<number, Record<string, string>>> = {
  405: { Allow: 'Methods that the path takes.' },
  429: { 'Retry-After': 'Seconds to wait.' },
  503: { 'Retry-After': 'Seconds to wait.' },
}

const cacheHeaders = {
  ETag: 'Strong entity tag of these bytes, for `If-None-Match`.',
  'Cache-Control': 'How long the answer stays fresh.',
}

const problemName = (status: number) => `Problem${status}`

/** The response of a status: every kind of problem that has it, each with its meaning and an example. */
function problemResponse(status: number): Response {
  const kinds = kindsOf(status)
  const examples = kinds.map((kind) => [
    kind,
    { summary: PROBLEMS[kind].title, value: problem(kind, PROBLEMS[kind].meaning) },
  ])
  const about = problemHeaders[status]
  return {
    description: kinds
      .map((kind) => `${PROBLEMS[kind].title}: ${PROBLEMS[kind].meaning} ${PROBLEMS[kind].remedy}`)
      .join('\n\n'),
    ...(about && { headers: headers(about) }),
    content: {
      'application/problem+json': {
        schema: { $ref: '#/components/schemas/Problem' },
        examples: Object.fromEntries(examples) as Record<string, unknown>,
      },
    },
  }
}

function namedExamples(examples: Readonly<Record<string, RequestExample>>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(examples).map(([name, { request, ...about }]) => [name, { ...about, value: request }]),
  )
}

function linkParameter(name: string, examples: Record<string, unknown>): object {
  return {
    name: 'request',
    in: 'query',
    required: true,
    description: 'The question, as the JSON object that the POST has in its body, URL-encoded.',
    content: { 'application/json': { schema: { $ref: `#/components/schemas/${name}` }, examples } },
  }
}

/** What stands beside a body in CSV. */
function completeCsv(operation: Operation, { setup, examples }: NonNullable<OperationNotes['x-csv']>): void {
  const bodies = Object.entries(examples).map(([name, { summary, description, request }]) => [
    name,
    { summary, description, value: request },
  ])
  const setups = Object.entries(examples).map(([name, { summary, setup }]) => [name, { summary, value: setup }])
  const media = operation.requestBody?.content['text/csv']
  if (media) media.examples = Object.fromEntries(bodies) as Record<string, unknown>
  operation.parameters = [
    {
      name: 'request',
      in: 'query',
      required: false,
      description: 'Only beside a body in CSV: the rest of the question, a JSON object, URL-encoded.',
      content: {
        'application/json': {
          schema: { $ref: `#/components/schemas/${setup}` },
          examples: Object.fromEntries(setups) as Record<string, unknown>,
        },
      },
    },
  ]
}

function completeOperation(operation: Operation): void {
  const { 'x-problems': statuses = [], 'x-request-examples': given, 'x-link': link, 'x-csv': csv } = operation
  for (const note of ['x-problems', 'x-request-examples', 'x-link', 'x-csv'] as const)
    Reflect.deleteProperty(operation, note)
  const examples = namedExamples(given ?? {})
  const answer = operation.responses['200']
  if (answer?.description === 'Default Response') answer.description = 'The answer.'
  if (link !== undefined) {
    operation.parameters = [linkParameter(link, examples)]
    operation.responses['304'] = { description: 'What `If-None-Match` names is still the answer.' }
    if (answer) answer.headers = headers(cacheHeaders)
  } else if (given !== undefined) {
    // A question that is asked in other forms too shows its examples in JSON.
    const content = operation.requestBody?.content ?? {}
    const media = content['application/json'] ?? Object.values(content)[0]
    if (media) media.examples = examples
    if (csv !== undefined) completeCsv(operation, csv)
  }
  for (const status of statuses) {
    operation.responses[status] ??= { $ref: `#/components/responses/${problemName(status)}` }
  }
}

/** The bounds of every whole number that JavaScript holds exactly say nothing to a reader, and make odd examples. */
function withoutSafeBounds(part: unknown): void {
  if (typeof part !== 'object' || part === null) return
  const schema = part as { minimum?: unknown; maximum?: unknown }
  if (schema.maximum === Number.MAX_SAFE_INTEGER) delete schema.maximum
  if (schema.minimum === Number.MIN_SAFE_INTEGER) delete schema.minimum
  for (const inner of Object.values(part)) withoutSafeBounds(inner)
}

/** Completes a generated document in place. */
export function completeDocument(document: Document): void {
  const used = new Set<number>()
  const tags = new Set<string>()
  for (const operations of Object.values(document.paths ?? {})) {
    Reflect.deleteProperty(operations, 'head')
    for (const operation of Object.values(operations)) {
      for (const status of operation['x-problems'] ?? []) used.add(status)
      for (const tag of operation.tags ?? []) tags.add(tag)
      completeOperation(operation)
    }
  }
  withoutSafeBounds(document.components)
  document.tags = [...tags].map((name) => ({ name }))
  document.components = {
    ...document.components,
    responses: Object.fromEntries(
      [...used].sort((a, b) => a - b).map((status) => [problemName(status), problemResponse(status)]),
    ),
  }
}
