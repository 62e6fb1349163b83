import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import {
  ComparedGoalSchema,
  ComparedNightSchema,
  ComparedSetupSchema,
  ComparedSkySchema,
  ComparedTargetSchema,
} from './compared.ts'
import { GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { yieldFields } from './setup-yield.ts'

export const ComparisonRequestSchema = z
  .strictObject({
    setups: z.array(ComparedSetupSchema).min(2).max(12).meta({ description: 'The set-ups to choose from.' }),
    targets: z.array(ComparedTargetSchema).min(1).max(6).meta({ description: 'What is to be imaged.' }),
    skies: z.array(ComparedSkySchema).min(1).max(3).meta({ description: 'Where it can be imaged from.' }),
    goal: ComparedGoalSchema,
    night: ComparedNightSchema.optional(),
  })
  .meta({ id: 'ComparisonRequest' })

const positive = z.number().min(0)
const hours = positive.meta({ 'x-unit': 'h' })

const ComparisonRowSchema = z
  .strictObject({ setup: z.string(), target: z.string(), sky: z.string(), ...yieldFields })
  .meta({ id: 'ComparisonRow', description: 'One set-up on one target from one site.' })

const SetupSummarySchema = z
  .strictObject({
    name: z.string(),
    price: positive.nullable(),
    reachesAll: z.boolean().meta({ description: 'Whether every target reaches the goal from some site.' }),
    totalHours: hours.nullable().meta({
      description: 'Hours to the goal on all targets together, each from the site that is quickest; null if one fails.',
    }),
    bestSkies: z.array(z.string().nullable()).meta({ description: 'That site for each target; null where none does.' }),
    rank: z.int().min(1).meta({ description: 'By time; equals share a rank.' }),
    moneyRank: z.int().min(1).nullable().meta({
      description: 'By speed per money, that is by time × price; null unless every set-up has a price.',
    }),
    hoursSavedPerMoney: z.number().nullable().meta({
      description:
        'Hours saved for each unit of money beyond the cheapest set-up; null for that one, where none are saved, or where there is no telling.',
    }),
    dominatedBy: z.string().nullable().meta({
      description: 'A set-up that is no dearer and no slower, and better in one of the two; null when there is none.',
    }),
    pixelScaleArcsec: positive.nullable().meta({ 'x-unit': 'arcsec' }),
    pixelsPerFwhm: positive.nullable().meta({ description: 'Pixels across a star at half maximum.' }),
    sampling: z
      .enum(['coarse', 'good', 'fine'])
      .nullable()
      .meta({ description: 'Below 1.5, up to 4, or more pixels across a star (common practice, no source).' }),
    fieldWidthDegrees: positive.nullable(),
    fieldHeightDegrees: positive.nullable(),
    sensor: z
      .strictObject({
        celsius: z.array(z.number()),
        darkElectronsPerPixelSecond: z.array(positive).meta({ description: 'Through the night.' }),
        meanDarkElectronsPerPixelSecond: positive.meta({ description: 'What the rows are reckoned with.' }),
        largestMismatchElectronsPerPixelSecond: positive.meta({
          description:
            'How far darks taken at the mean are off at worst: what they leave grows with the length of the sub.',
        }),
      })
      .nullable()
      .meta({ description: 'The sensor through `night`; null without it.' }),
  })
  .meta({ id: 'SetupSummary', description: 'One set-up over all targets.' })

const PairVerdictSchema = z
  .strictObject({
    first: z.string(),
    second: z.string(),
    hoursSaved: z
      .number()
      .nullable()
      .meta({ description: 'By the first against the second; negative when it is slower.' }),
    timeRatio: positive.nullable().meta({ description: 'Hours of the second over hours of the first.' }),
    priceDifference: z.number().nullable().meta({ description: 'Price of the first less that of the second.' }),
    verdict: z.string(),
  })
  .meta({ id: 'PairVerdict', description: 'Two set-ups against each other, over all targets.' })

export const ComparisonAnswerSchema = z
  .strictObject({
    ranking: z.array(z.string()).meta({ description: 'The set-ups by time; those that fail come last.' }),
    setups: z.array(SetupSummarySchema).meta({ description: 'In the order of the request.' }),
    rows: z.array(ComparisonRowSchema).meta({ description: 'Set-up by set-up, target by target, site by site.' }),
    pairs: z.array(PairVerdictSchema),
    ...commonAnswerFields,
  })
  .meta({ id: 'ComparisonAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof ComparisonRequestSchema> }
>

const COLOR_CHANNELS = [
  { filter: { band: 'red' } },
  { filter: { band: 'green' } },
  { filter: { band: 'blue' } },
] as const

export const comparisonExamples: Examples = {
  'garden-or-meadow': {
    summary: 'Unmodified, modified or cooled, from the garden or from the meadow?',
    description:
      'The same nebula in H-alpha with three cameras of the club. The meadow is darker, and an hour’s drive away.',
    request: {
      setups: [
        { name: 'unmodified camera', ...part('unmodified-camera'), filter: H_ALPHA_7NM, price: 900 },
        { name: 'modified camera', ...part('modified-camera'), filter: H_ALPHA_7NM, price: 1200 },
        { name: 'cooled mono', ...part('cooled-mono'), filter: H_ALPHA_7NM, price: 2600 },
      ],
      targets: [{ name: 'nebula', line: 'h-alpha', rayleighs: 300 }],
      skies: [
        { name: 'garden', sky: GARDEN, hoursPerNight: 5 },
        { name: 'meadow', sky: MEADOW, travelHours: 2.5, hoursPerNight: 4 },
      ],
      goal: { snr: 2 },
      night: { ambientCelsius: [14, 11, 9, 7, 6] },
    },
  },
  'colour-of-a-galaxy': {
    summary: 'Colour of a galaxy: filters one after the other, or a mosaic?',
    description:
      'The same sensor and telescope twice: mono behind red, green and blue filters in turn, and behind a Bayer mosaic that takes all three at once. Both must reach the goal in every colour.',
    request: {
      setups: [
        {
          name: 'mono with filters',
          camera: { like: 'cooled-mono-cmos' },
          optics: MEMBERS['cooled-mono'].optics,
          channels: [...COLOR_CHANNELS],
          plan: { ...MEMBERS['cooled-mono'].plan, filterChangeSeconds: 15, refocusSeconds: 240 },
          price: 3400,
        },
        {
          name: 'colour',
          camera: { like: 'cooled-color-cmos' },
          optics: MEMBERS['cooled-mono'].optics,
          filter: { band: 'luminance' },
          plan: { ...MEMBERS['cooled-mono'].plan, refocusSeconds: 240 },
          price: 2500,
        },
      ],
      targets: [{ name: 'galaxy arm', ...GALAXY_ARM }],
      skies: [{ name: 'garden', sky: GARDEN }],
      goal: { snr: 3, per: 'arcsec2' },
    },
  },
  'two-lines': {
    summary: 'Two emission lines: a dual-band filter or two narrow ones?',
    description: 'A dual-band filter on a mosaic lights a quarter of the pixels in H-alpha and half of them in O III.',
    request: {
      setups: [
        {
          name: 'mosaic, dual band',
          camera: { like: 'cooled-color-cmos' },
          optics: MEMBERS['cooled-mono'].optics,
          filter: { band: 'dual-narrowband', widthNm: 7 },
          price: 2800,
        },
        {
          name: 'mono, two filters',
          camera: { like: 'cooled-mono-cmos' },
          optics: MEMBERS['cooled-mono'].optics,
          channels: [{ filter: H_ALPHA_7NM }, { filter: { band: 'o-iii', widthNm: 7 } }],
          price: 3300,
        },
      ],
      targets: [
        {
          name: 'veil',
          lines: [
            { line: 'h-alpha', rayleighs: 90 },
            { line: 'o-iii', rayleighs: 60 },
          ],
        },
      ],
      skies: [{ name: 'garden', sky: GARDEN, hoursPerNight: 5 }],
      goal: { snr: 2 },
    },
  },
}

function part(member: keyof typeof MEMBERS) {
  const { camera, optics, plan } = MEMBERS[member]
  return { camera, optics, plan }
}
