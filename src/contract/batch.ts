// Many questions in one body: a line of JSON each, answered by a line each, in order.

import { z } from 'zod'
import { GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS, NEBULA } from './heron-ridge.ts'
import { ProblemSchema } from './problem.ts'

/** Questions that one batch may ask. */
export const MOST_QUESTIONS = 10_000
/** Bytes that one line may have: as many as the body of most questions asked by themselves. */
export const MOST_LINE_BYTES = 65_536
/** Bytes that the body of a batch may have. */
export const MOST_BATCH_BYTES = 16_777_216

const id = z.string().min(1).max(100).meta({ description: 'A name of your own for this question; comes back with it.' })
const line = z
  .int()
  .min(1)
  .meta({ description: 'Number of the line in the body, from 1; blank lines are counted and have no answer.' })

export const BatchLineSchema = z
  .strictObject({
    path: z.string().meta({ description: 'Path of the question.', examples: ['/v1/sub-exposure'] }),
    request: z.unknown().meta({ description: 'The question: the body that a `POST` to this path takes.' }),
    id: id.optional(),
  })
  .meta({ id: 'BatchLine', description: 'One line of a batch: a question.' })

const BatchAnswerSchema = z
  .strictObject({
    line,
    id: id.optional(),
    status: z.literal(200).meta({ description: 'This question has an answer.' }),
    answer: z.unknown().meta({ description: 'What a `POST` to the path of the question answers.' }),
  })
  .meta({ id: 'BatchAnswer', description: 'The answer to one line.' })

const BatchRefusalSchema = z
  .strictObject({
    line,
    id: id.optional(),
    status: z.int().min(400).max(599).meta({ description: 'Status that the question would meet by itself.' }),
    problem: ProblemSchema,
  })
  .meta({
    id: 'BatchRefusal',
    description:
      'Why one line has no answer. The pointers of its problem lead into `request`; those of `/problems/invalid-line` into the line.',
  })

export const BatchAnswerLineSchema = z
  .union([BatchAnswerSchema, BatchRefusalSchema])
  .meta({ id: 'BatchAnswerLine', description: 'One line of what a batch answers.' })

export type BatchLine = z.infer<typeof BatchLineSchema>
export type BatchAnswerLine = z.infer<typeof BatchAnswerLineSchema>

/** A worked example: the lines of a body. */
export interface BatchExample {
  summary: string
  description: string
  lines: readonly BatchLine[]
}

export const batchExamples: Record<string, BatchExample> = {
  'one-sky-four-members': {
    summary: 'The same night for all four members',
    description: 'A club’s table in one call; each line carries the name of its member.',
    lines: Object.entries(MEMBERS).map(([name, { camera, optics, plan }]) => ({
      path: '/v1/sub-exposure',
      request: { camera, optics, sky: MEADOW, target: GALAXY_ARM, plan: { ...plan, availableSeconds: 14400 } },
      id: name,
    })),
  },
  'different-questions': {
    summary: 'Different questions, one of them mistyped',
    description: 'The third line misspells a field: it gets a problem in its place, and the others their answers.',
    lines: [
      {
        path: '/v1/sky-background',
        request: { camera: MEMBERS['old-ccd'].camera, optics: MEMBERS['old-ccd'].optics, sky: GARDEN },
      },
      {
        path: '/v1/integration-time',
        request: {
          camera: MEMBERS['cooled-mono'].camera,
          optics: MEMBERS['cooled-mono'].optics,
          filter: H_ALPHA_7NM,
          sky: GARDEN,
          target: NEBULA,
          plan: { subSeconds: 240 },
          goal: { snr: 20, per: 'arcsec2' },
        },
      },
      {
        path: '/v1/sub-exposure',
        request: { camera: { readNoiseElectron: 1.6 }, sky: { bortleClass: 5 } },
        id: 'mistyped',
      },
    ],
  },
}
