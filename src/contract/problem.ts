import { z } from 'zod'

/** One bad field: where it is (JSON Pointer, RFC 6901) and what is wrong with it. */
export const FieldErrorSchema = z
  .strictObject({
    pointer: z.string().meta({ description: 'JSON Pointer (RFC 6901) to the field in the request.' }),
    message: z.string().meta({ description: 'What was given, and what is allowed.' }),
  })
  .meta({ id: 'FieldError', description: 'One bad field of a request.' })

/**
 * The kinds of problem the service answers with. The key is the last part of the `type` URI reference;
 * `GET /problems/<key>` answers with `meaning` and `remedy`.
 */
export const PROBLEMS = {
  'unreadable-request': {
    status: 400,
    title: 'The request cannot be read',
    meaning: 'The bytes that arrived are not a complete JSON text or file, or not a well-formed HTTP request.',
    remedy: 'Look at the place that `detail` names; send one JSON object in UTF-8, or the whole file.',
  },
  'invalid-request': {
    status: 400,
    title: 'The request breaks the contract',
    meaning: 'The JSON can be read, but a field is missing, unknown, of the wrong type or out of its range.',
    remedy: 'Mend every field that `errors` lists: each `pointer` leads to it, each `message` says what is allowed.',
  },
  'invalid-line': {
    status: 400,
    title: 'The line of the batch breaks the contract',
    meaning: 'A line of a batch is not `path`, `request` and perhaps `id`, or asks what no batch may hold.',
    remedy: 'Mend the line: here each `pointer` leads into the line itself, not into its `request`.',
  },
  'not-found': {
    status: 404,
    title: 'There is nothing here',
    meaning: 'No endpoint has this path.',
    remedy: 'Compare the path with the list in /docs; `detail` names the nearest one.',
  },
  'method-not-allowed': {
    status: 405,
    title: 'This path takes another method',
    meaning: 'The path exists, but does not answer this method.',
    remedy: 'Use one of the methods in the `Allow` header field.',
  },
  'not-acceptable': {
    status: 406,
    title: 'There is no such representation',
    meaning: 'The `Accept` header field leaves out every media type that this path can answer with.',
    remedy: 'Accept application/json, or send no `Accept` at all.',
  },
  'request-timeout': {
    status: 408,
    title: 'The request came too slowly',
    meaning: 'The request was not complete when the time for it was up.',
    remedy: 'Send it again, all at once.',
  },
  'body-too-large': {
    status: 413,
    title: 'The body is too large',
    meaning: 'The body has more bytes than this path reads.',
    remedy: 'Shorten the body; `detail` names the limit.',
  },
  'link-too-long': {
    status: 414,
    title: 'The link is too long',
    meaning: 'The request line has more bytes than the service reads.',
    remedy: 'Ask the same question by POST, whose body may be longer.',
  },
  'unsupported-media-type': {
    status: 415,
    title: 'The body is of the wrong type',
    meaning:
      'The body is not declared as of a type and coding that this path reads: mostly plain, uncompressed JSON in UTF-8.',
    remedy: 'Send the `Content-Type` that `detail` names; for JSON, no `Content-Encoding`.',
  },
  'no-answer': {
    status: 422,
    title: 'The question can be read but has no answer',
    meaning: 'Every field is allowed, but together they ask for what physics or the model cannot give.',
    remedy: 'Read `detail`: it says what stands in the way; change the fields in `errors`, if there are any.',
  },
  'too-many-requests': {
    status: 429,
    title: 'Too many requests',
    meaning: 'This client has used up its requests of the current minute.',
    remedy: 'Wait the seconds that `Retry-After` names; use links, which can be cached.',
  },
  'headers-too-large': {
    status: 431,
    title: 'The header fields are too large',
    meaning: 'The request line and the header fields together have more bytes than the service reads.',
    remedy: 'Send fewer or shorter header fields; ask long questions by POST.',
  },
  'internal-error': {
    status: 500,
    title: 'The service failed',
    meaning: 'A fault of the service, not of the request. Its reason is in the log of the service.',
    remedy: 'Report the request to whoever runs the service.',
  },
  overloaded: {
    status: 503,
    title: 'The service is busy',
    meaning: 'There is more to compute than this instance can do in good time.',
    remedy: 'Wait the seconds that `Retry-After` names and ask again.',
  },
} as const satisfies Record<string, { status: number; title: string; meaning: string; remedy: string }>

export type ProblemKind = keyof typeof PROBLEMS

export const ProblemSchema = z
  .strictObject({
    type: z.string().meta({ description: 'URI reference that names the kind of problem; stable.' }),
    title: z.string().meta({ description: 'The kind of problem in words; the same for every problem of this type.' }),
    status: z.int().min(400).max(599).meta({ description: 'HTTP status.' }),
    detail: z.string().meta({ description: 'What happened to this request.' }),
    errors: z.array(FieldErrorSchema).optional().meta({ description: 'Every bad field.' }),
  })
  .meta({ id: 'Problem', description: 'Problem document (RFC 9457).' })

export type FieldError = z.infer<typeof FieldErrorSchema>
export type Problem = z.infer<typeof ProblemSchema>

/** Thrown anywhere above the engine to answer with a problem document. */
export class ProblemError extends Error {
  override readonly name = 'ProblemError'
  readonly kind: ProblemKind
  readonly errors: readonly FieldError[]

  constructor(kind: ProblemKind, detail: string, errors: readonly FieldError[] = []) {
    super(detail)
    this.kind = kind
    this.errors = errors
  }
}

/** The problem document of a kind, ready to send. */
export function problem(kind: ProblemKind, detail: string, errors: readonly FieldError[] = []): Problem {
  const { status, title } = PROBLEMS[kind]
  return { type: `/problems/${kind}`, title, status, detail, ...(errors.length > 0 && { errors: [...errors] }) }
}
