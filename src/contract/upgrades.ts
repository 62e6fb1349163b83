import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import {
  ComparedGoalSchema,
  ComparedNightSchema,
  nameField,
  price,
  targetFields,
  UpgradedSetupSchema,
} from './compared.ts'
import { GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { yieldFields } from './setup-yield.ts'

const CandidateSchema = z
  .strictObject({
    name: nameField,
    change: z.record(z.string(), z.unknown()).meta({
      description:
        'JSON Merge Patch (RFC 7396) for `setup`: fields that change, `null` for a field that goes. Arrays are replaced whole. The set-up it leads to must keep the contract of `setup`.',
      examples: [{ camera: { infraredBlocker: 'none' } }],
    }),
    price,
  })
  .meta({ id: 'UpgradeCandidate', description: 'A change that could be bought.' })

export const UpgradesRequestSchema = z
  .strictObject({
    setup: UpgradedSetupSchema,
    target: z.strictObject(targetFields).meta({
      id: 'UpgradeTarget',
      description: 'What is imaged: an extended target as in every question, several emission `lines`, or both.',
    }),
    goal: ComparedGoalSchema,
    night: ComparedNightSchema.optional(),
    candidates: z.array(CandidateSchema).min(1).max(10).meta({ description: 'The changes to choose from.' }),
    budget: price.optional().meta({
      description: 'What may be spent. Default: nothing bounds it.',
      'x-unit': 'currency',
      examples: [1000],
    }),
  })
  .meta({ id: 'UpgradesRequest' })

const positive = z.number().min(0)
const savedHours = z.number().nullable().meta({
  description:
    'Hours to the goal that it saves; negative when it costs time, null where one of the two never gets there.',
  'x-unit': 'h',
})

const YieldSchema = z
  .strictObject(yieldFields)
  .meta({ id: 'SetupYield', description: 'How a set-up does on the target from its site.' })

const RankedCandidateSchema = z
  .strictObject({
    name: z.string(),
    price: positive,
    rank: z.int().min(1).meta({ description: 'By time to the goal; equals share a rank.' }),
    moneyRank: z.int().min(1).meta({ description: 'By hours saved for each unit of money; equals share a rank.' }),
    hoursSaved: savedHours,
    hoursSavedPerMoney: z.number().nullable().meta({ description: 'null when it is free, or there is no telling.' }),
    snrGain: positive
      .nullable()
      .meta({ description: 'Signal-to-noise ratio of a night with it over that without; null without signal.' }),
    attacks: z
      .array(
        z.strictObject({
          part: z
            .enum(['signal', 'sky', 'dark', 'read', 'quantization', 'calibration', 'dead-time'])
            .meta({ description: 'More signal, less of one kind of noise for it, or less of the clock lost.' }),
          informationFactor: positive.meta({
            description: 'By what factor this raises the information (SNR²) of an hour; the factors multiply.',
          }),
        }),
      )
      .meta({ description: 'What it attacks, the largest gain first.' }),
    worth: z.enum(['worth-it', 'outdone', 'too-dear', 'no-gain', 'harm']).meta({
      description:
        'Worth it: it belongs to the best bundle and is missed there. Outdone: it gains, but the money does more elsewhere. Too dear: it gains, and its price alone is above the budget.',
    }),
    reason: z.string().meta({ description: 'The same in a sentence.' }),
    yields: YieldSchema,
  })
  .meta({ id: 'RankedCandidate', description: 'One change on its own.' })

const PairSchema = z
  .strictObject({
    first: z.string(),
    second: z.string(),
    effect: z.enum(['reinforce', 'overlap', 'independent', 'exclusive', 'unknown']).meta({
      description:
        'Together they gain more than the product of their gains, less, about as much; or they cannot both be made; or there is no telling.',
    }),
    togetherHoursSaved: savedHours,
    snrGain: positive.nullable().meta({ description: 'Of both together.' }),
    interaction: positive.nullable().meta({
      description: 'That gain over the product of the two gains: 1 when they do not mind each other.',
    }),
  })
  .meta({ id: 'CandidatePair', description: 'Two changes together.' })

export const UpgradesAnswerSchema = z
  .strictObject({
    base: YieldSchema.meta({ description: 'The set-up as it is.' }),
    candidates: z.array(RankedCandidateSchema).meta({ description: 'In the order of the request.' }),
    ranking: z.array(z.string()).meta({ description: 'Names by hours saved for each unit of money.' }),
    pairs: z.array(PairSchema),
    bundle: z
      .strictObject({
        names: z.array(z.string()).meta({ description: 'Empty when nothing affordable helps.' }),
        price: positive,
        hoursSaved: savedHours,
        snrGain: positive.nullable(),
        setsLookedAt: z.int().min(1).meta({ description: 'Affordable sets of changes that were reckoned.' }),
        yields: YieldSchema,
      })
      .meta({ description: 'The best set of changes within the budget: every affordable set was looked at.' }),
    notWorthIt: z.array(z.string()).meta({ description: 'Names of changes not worth their money.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'UpgradesAnswer' })

type Examples = Record<string, { summary: string; description: string; request: z.input<typeof UpgradesRequestSchema> }>

const CONSUMER = MEMBERS['unmodified-camera']
const OLD_CCD = MEMBERS['old-ccd']

export const upgradesExamples: Examples = {
  'first-thousand': {
    summary: 'What to buy first for a consumer camera in the garden?',
    description: 'Six ways to spend money on a nebula in H-alpha, with a thousand to spend.',
    request: {
      setup: {
        camera: CONSUMER.camera,
        optics: CONSUMER.optics,
        filter: { band: 'none' },
        plan: { ...CONSUMER.plan, longestTrackedSeconds: 60, calibration: { darkFrames: 20, ditherPositions: 8 } },
        site: { sky: GARDEN, hoursPerNight: 4 },
      },
      target: { line: 'h-alpha', rayleighs: 300 },
      goal: { snr: 1 },
      candidates: [
        { name: 'modified filter', change: { camera: { infraredBlocker: 'none' } }, price: 300 },
        { name: 'narrow filter', change: { filter: H_ALPHA_7NM }, price: 200 },
        { name: 'guiding', change: { plan: { longestTrackedSeconds: 300 } }, price: 350 },
        { name: 'faster lens', change: { optics: { apertureMm: 71 } }, price: 700 },
        { name: 'more darks', change: { plan: { calibration: { darkFrames: 60, ditherPositions: 30 } } }, price: 0 },
        { name: 'meadow', change: { site: { sky: MEADOW, travelHours: 2.5 } }, price: 60 },
      ],
      budget: 1000,
    },
  },
  'old-ccd': {
    summary: 'Keep the old CCD, or replace it?',
    description: 'A new camera, a faster telescope or a narrower filter, for a faint nebula. Not all of them pay.',
    request: {
      setup: {
        camera: OLD_CCD.camera,
        optics: OLD_CCD.optics,
        filter: { band: 'h-alpha', widthNm: 12 },
        plan: OLD_CCD.plan,
        site: { sky: MEADOW, travelHours: 2, hoursPerNight: 5 },
      },
      target: { line: 'h-alpha', rayleighs: 30 },
      goal: { snr: 5 },
      candidates: [
        {
          name: 'quiet camera',
          change: {
            camera: {
              ...MEMBERS['cooled-mono'].camera,
              quantumEfficiency: [...MEMBERS['cooled-mono'].camera.quantumEfficiency],
              darkCurrent: { ...MEMBERS['cooled-mono'].camera.darkCurrent, doublingCelsius: null },
            },
            plan: { overheadSeconds: 6 },
          },
          price: 2200,
        },
        { name: 'filter of 3 nm', change: { filter: { widthNm: 3 } }, price: 450 },
        { name: 'reducer', change: { optics: { focalLengthMm: 750 } }, price: 350 },
        { name: 'colder sensor', change: { camera: { temperatureCelsius: -30 } }, price: 150 },
      ],
      budget: 2700,
    },
  },
}
