import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { measured, quantity, subSeconds, temperatureCelsius } from './fields.ts'
import { GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { NOISE_TERMS } from './noise-budget.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { PlanSchema } from './plan.ts'
import { SkySchema, TARGET_LINES, TargetSchema } from './sky.ts'

export const nameField = z
  .string()
  .min(1)
  .max(60)
  .meta({ description: 'Your name for it; the answer uses it.', examples: ['garden'] })

export const price = quantity({
  unit: 'currency',
  minimum: 0,
  maximum: 1e9,
  description: 'Price, in any one currency throughout.',
  example: 850,
})

const ComparedChannelSchema = z
  .strictObject({
    name: nameField.optional().meta({ description: 'Default: the band of the filter.', examples: ['red'] }),
    filter: FilterSchema.optional(),
    goalShare: quantity({
      unit: '',
      minimum: 0.01,
      maximum: 1,
      description: 'Share of the goal’s signal-to-noise ratio that is enough in this channel, 0.01 to 1. Default 1.',
      example: 0.5,
    }).optional(),
  })
  .meta({ id: 'ComparedChannel', description: 'One exposure series through one filter.' })

export const ComparedPlanSchema = PlanSchema.omit({
  availableSeconds: true,
  subCount: true,
  apertureRadiusArcsec: true,
  backgroundPixels: true,
})
  .extend({
    refocusSeconds: measured({
      unit: 's',
      minimum: 0,
      maximum: 7200,
      description: 'Focusing at the start of each night and after each filter change. Default 120.',
      example: 180,
    }).optional(),
    filterChangeSeconds: measured({
      unit: 's',
      minimum: 0,
      maximum: 7200,
      description: 'Changing from one filter to the next. Default 10.',
      example: 10,
    }).optional(),
  })
  .meta({ id: 'ComparedPlan', description: 'How subs are taken with a set-up. Every default used is listed.' })

const setupFields = {
  camera: CameraSchema,
  optics: OpticsSchema.optional(),
  filter: FilterSchema.optional(),
  channels: z.array(ComparedChannelSchema).min(1).max(8).optional().meta({
    description:
      'Filters that are used one after the other, time split over them so that the channel furthest from its goal is as near to it as can be. In place of `filter`.',
  }),
  plan: ComparedPlanSchema.optional(),
  sensorAboveAirCelsius: quantity({
    unit: 'K',
    minimum: 0,
    maximum: 40,
    description: 'How much warmer than the air a sensor without a cooler gets; counts with `night`. Default 10.',
    example: 10,
  }).optional(),
}

export const siteFields = {
  sky: SkySchema,
  travelHours: quantity({
    unit: 'h',
    minimum: 0,
    maximum: 48,
    description: 'Driving there and back, setting up and packing, for each night. Default 0.',
    example: 2.5,
  }).optional(),
  hoursPerNight: quantity({
    unit: 'h',
    minimum: 0.1,
    maximum: 24,
    description: 'Clock hours of one night that can be used. Default 4.',
    example: 5,
  }).optional(),
}

export const ComparedSetupSchema = z
  .strictObject({ name: nameField, ...setupFields, price: price.optional() })
  .meta({ id: 'ComparedSetup', description: 'A set-up to choose: what it is, how it is run, what it costs.' })

/** What a change of an upgrade question is applied to: a set-up and where it stands. */
export const UpgradedSetupSchema = z
  .strictObject({ ...setupFields, site: z.strictObject(siteFields).meta({ description: 'Where it stands.' }) })
  .meta({ id: 'UpgradedSetup', description: 'A set-up and its site. Changes are applied to this object.' })

const ComparedSkySchema = z
  .strictObject({ name: nameField, ...siteFields })
  .meta({ id: 'ComparedSky', description: 'A site: its sky, how far it is, and how long a night lasts there.' })

const LineLightSchema = z
  .strictObject({
    line: z.enum(TARGET_LINES).meta({ description: 'Emission line.' }),
    rayleighs: measured({
      unit: 'R',
      minimum: 0,
      maximum: 1e7,
      description: 'Brightness in that line above the atmosphere.',
      example: 50,
    }),
  })
  .meta({ id: 'LineLight', description: 'One emission line of a target.' })

export const targetFields = {
  target: TargetSchema.optional(),
  lines: z.array(LineLightSchema).min(1).max(5).optional().meta({
    description:
      'Emission lines, each of which must reach the goal: in the channel and colour plane that is quickest for it.',
  }),
}

const ComparedTargetSchema = z.strictObject({ name: nameField, ...targetFields }).meta({
  id: 'ComparedTarget',
  description:
    'What is imaged: an extended `target`, several emission `lines`, or both. A continuum must reach the goal in every channel and in every colour plane that sees it.',
})

export const ComparedGoalSchema = z
  .strictObject({
    snr: quantity({
      unit: '',
      minimum: 0.001,
      maximum: 1e6,
      description: 'The signal-to-noise ratio to reach.',
      example: 10,
    }),
    per: z.enum(['pixel', 'arcsec2']).optional().meta({
      description:
        'Of one pixel of the stack, or of one square arcsecond of the target (default): pixels of different scale are not the same question.',
    }),
  })
  .meta({ id: 'ComparedGoal', description: 'A signal-to-noise ratio to reach in every channel.' })

export const ComparedNightSchema = z
  .strictObject({
    ambientCelsius: z
      .array(temperatureCelsius.meta({ 'x-unit': 'deg_C' }))
      .min(1)
      .max(48)
      .meta({ description: 'Temperature of the air over the night, evenly spaced.', examples: [[14, 11, 8, 6]] }),
  })
  .meta({
    id: 'ComparedNight',
    description:
      'A night of changing temperature. A sensor without a cooler follows it, in place of its `temperatureCelsius`; a cooled one holds its temperature as far as its cooler reaches.',
  })

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
const share = z.number().min(0).max(1)
const NoiseTermSchema = z.enum(NOISE_TERMS)

const noiseSharesFields = Object.fromEntries(NOISE_TERMS.map((term) => [term, share])) as Record<
  (typeof NOISE_TERMS)[number],
  typeof share
>

export const ChannelYieldSchema = z
  .strictObject({
    name: z.string().meta({ description: 'The channel, and for an emission line which.' }),
    plane: z.enum(['mono', 'red', 'green', 'blue']).meta({ description: 'Colour plane of the sensor.' }),
    samplingFraction: share.meta({ description: 'Share of the pixels that sample it.' }),
    subSeconds,
    readMode: z.string().optional().meta({ description: 'The read mode advised, where the camera has several.' }),
    limitedBy: z.string().meta({ description: 'What sets the length of the sub, or `given`.' }),
    subCount: z.int().min(1).nullable().meta({ description: 'Subs to the goal; null when it is out of reach.' }),
    clockHours: hours.nullable().meta({ description: 'Clock time to the goal; planes of a mosaic share theirs.' }),
    timeShare: share.meta({ description: 'Share of a night’s subs that this channel gets.' }),
    targetElectronsPerPixelSecond: positive,
    skyElectronsPerPixelSecond: positive,
    darkElectronsPerPixelSecond: positive,
    snrInNight: positive.meta({ description: 'In one night of that site, per unit of the goal.' }),
    snrPerArcsec2InNight: positive.nullable().meta({
      description: 'The same of one square arcsecond; null where the scale of the image is unknown.',
    }),
    dominantTerm: NoiseTermSchema.meta({ description: 'The largest share of the noise.' }),
    noiseShares: z
      .strictObject(noiseSharesFields)
      .meta({ id: 'ComparedNoiseShares', description: 'Shares of the variance of the stack; they add up to 1.' }),
  })
  .meta({ id: 'ChannelYield', description: 'What one channel gathers of the target in one colour plane.' })

/** How a set-up does on one target from one site. */
export const yieldFields = {
  reachable: z.boolean().meta({ description: 'Whether the goal is reached in every channel.' }),
  reason: z.string().nullable().meta({ description: 'Why it is not; null when it is.' }),
  totalHours: hours
    .nullable()
    .meta({ description: 'Hours to the goal with focusing, filter changes and travel; null when out of reach.' }),
  clockHours: hours.nullable().meta({ description: 'The same without travel.' }),
  integrationHours: hours.nullable().meta({ description: 'Exposure in kept subs.' }),
  nights: z.int().min(1).nullable().meta({ description: 'Nights it takes.' }),
  limitingChannel: z.string().nullable().meta({ description: 'The channel that takes longest.' }),
  limitingNoise: NoiseTermSchema.nullable().meta({ description: 'The largest noise in that channel.' }),
  snrInNight: positive.nullable().meta({
    description: 'Smallest ratio of a channel after one night, over its share of the goal; per unit of the goal.',
  }),
  snrPerArcsec2InNight: positive.nullable().meta({
    description: 'Of one square arcsecond after one night in the channel that has least; null without a scale.',
  }),
  luminanceSnrPerArcsec2InNight: positive.nullable().meta({
    description: 'All continuum channels and planes added up at best weights; null without a continuum or a scale.',
  }),
  dataGigabytes: positive.nullable().meta({
    description: 'Raw frames to the goal, uncompressed; null when the size of the frame is unknown.',
    'x-unit': 'GB',
  }),
  channels: z.array(ChannelYieldSchema),
}

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
        'Hours saved for each unit of money beyond the cheapest set-up; null for that one, or where there is no telling.',
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
      targets: [{ name: 'nebula', target: { line: 'h-alpha', rayleighs: 300 } }],
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
      targets: [{ name: 'galaxy arm', target: GALAXY_ARM }],
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
