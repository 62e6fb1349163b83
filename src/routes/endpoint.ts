import type { z } from 'zod'
import type { BatchExample } from '../contract/batch.ts'
import type { FramePool } from '../frames/index.ts'

export interface Example<Request> {
  /** What the example shows, in a few words. */
  summary: string
  description?: string
  request: Request
}

/** Takes the items of a list as they come in, or the text of one in CSV piece by piece. */
export interface ListReader<Part, Setup, Answer> {
  /** @throws {ProblemError} when the whole cannot be read */
  take: (part: Part) => void
  /** The answer once everything was taken, reckoned turn by turn. */
  answer: (setup: Setup) => Promise<Answer>
}

/** Takes the items of a list in JSON. */
export interface ItemTaker {
  take: (item: unknown) => void
  /**
   * Takes an item and the comma behind it straight from the text, where it is sure of them.
   *
   * @returns where the text goes on; −1, and nothing done, where the item has to be cut out and read first
   */
  takeQuickly: (text: string, from: number) => number
}

/**
 * A long list whose items the question checks one by one, so that a bad one does not fail the whole. The contract marks it
 * with `x-checked-one-by-one`.
 */
export interface LongList<Request, Answer> {
  /** The field of the request that holds the list. */
  field: keyof Request & string
  /** The request without it, which stands in the query parameter `request` where the list comes as CSV. */
  setup: z.ZodType
  csv: z.ZodType<string>
  /** Each a setup and the body that goes with it. */
  csvExamples: Record<string, Example<string> & { setup: unknown }>
  readItems: () => ItemTaker & ListReader<unknown, Partial<Request>, Answer>
  readCsv: () => ListReader<string, Partial<Request>, Answer>
}

/** A list that was taken straight from a text, and where the text goes on behind its bracket. */
export interface TakenList<Items> {
  items: Items
  end: number
}

/** A list of which most items are written alike, so that they can be taken from the text of a body without a detour. */
export interface QuickList<Request, Items, Answer> {
  /** The field of the request that holds the list. */
  field: keyof Request & string
  /**
   * @param from  behind the opening bracket
   * @returns null where any item is not valid beyond doubt; the body is then read as all others are
   */
  take: (text: string, from: number) => TakenList<Items> | null
  /** As that of the question. */
  handle: (rest: Request, items: Items) => Answer
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
  /** For a question about a long list. */
  list?: LongList<Request, Answer>
  /** For a question with hundreds of items. */
  // eslint-disable-next-line @typescript-eslint/no-explicit-any -- only the list itself knows its items
  quick?: QuickList<Request, any, Answer>
  /** At least two, keyed by a kebab-case name. */
  examples: Record<string, Example<Request>>
  /** Pure. Throws EngineError or ProblemError when there is no answer. */
  handle: (request: Request) => Answer
  /** The same question asked with files: a `multipart/form-data` body in place of the JSON. */
  // eslint-disable-next-line @typescript-eslint/no-explicit-any -- only the form itself knows its fields
  form?: Form<any, Answer>
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

/** What the handler of an upload may use beside its body. */
export interface UploadContext {
  /** Where frames are measured. */
  frames: FramePool
  encoding: 'identity' | 'gzip'
  /** Aborted when the client is gone. */
  signal: AbortSignal
}

/** One part of a form, as it comes in; a file must be read before the next part is asked for. */
export type FormPart =
  | { kind: 'field'; name: string; value: string }
  | { kind: 'file'; name: string; filename: string; body: AsyncIterable<Uint8Array> }

export interface Form<Fields = unknown, Answer = unknown> {
  /** Follows the description of the question. */
  description: string
  /** What each file may be named, with its description. */
  files: Readonly<Record<string, string>>
  /** A flat object of numbers and words, all optional. */
  fields: z.ZodType<Fields>
  maximumBytes: number
  maximumFiles: number
  /** @param readFields  checks the fields that have come so far; throws ProblemError */
  handle: (
    parts: AsyncIterable<FormPart>,
    readFields: (values: Readonly<Record<string, string>>) => Fields,
    context: UploadContext,
  ) => Promise<Answer>
}

/** A `POST` whose body is not JSON and is taken as it streams in; what else there is to say stands in the query. */
export interface Upload<Parameters = unknown, Answer = unknown> {
  kind: 'upload'
  id: string
  path: string
  tag: string
  summary: string
  description: string
  /** Types that the body may be declared as. */
  mediaTypes: readonly string[]
  /** Bytes of the body, as sent; the handler counts what they inflate to. */
  maximumBytes: number
  /** A flat object of numbers and words, all optional. */
  parameters: z.ZodType<Parameters>
  answer: z.ZodType<Answer>
  /** Throws ProblemError when there is no answer, FramePoolFull when there is no room for another frame. */
  handle: (body: AsyncIterable<Uint8Array>, parameters: Parameters, context: UploadContext) => Promise<Answer>
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
export type Endpoint = Question<any, any> | Upload<any, any> | Reference<any> | Batch

/** Names the types of a question from its schemas, so that contract and engine cannot disagree. */
export function question<Request, Answer>(it: Omit<Question<Request, Answer>, 'kind'>): Question<Request, Answer> {
  return { kind: 'question', ...it }
}

/** As {@link question}, for a body that is no JSON. */
export function upload<Parameters, Answer>(it: Omit<Upload<Parameters, Answer>, 'kind'>): Upload<Parameters, Answer> {
  return { kind: 'upload', ...it }
}

/** As {@link question}, for constant data. */
export function reference<Answer>(it: Omit<Reference<Answer>, 'kind'>): Reference<Answer> {
  return { kind: 'reference', ...it }
}
