import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { seconds, subSeconds } from './fields.ts'
import { NEBULA, GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { clockSeconds, PlanSchema } from './plan.ts'
import { ratesFields } from './rates.ts'
import { SkySchema, TargetSchema } from './sky.ts'

export const SubExposureRequestSchema = z
  .strictObject({
    camera: CameraSchema,
    optics: OpticsSchema.optional(),
    filter: FilterSchema.optional(),
    sky: SkySchema,
    target: TargetSchema.optional(),
    plan: PlanSchema.optional(),
  })
  .meta({ id: 'SubExposureRequest' })

export const LimitNameSchema = z
  .enum(['read-noise', 'losses', 'sky-background', 'star-clipping', 'tracking', 'longest-sub'])
  .meta({ id: 'LimitName', description: 'What sets a bound on the length of a sub.' })

const LimitSchema = z
  .strictObject({
    name: LimitNameSchema,
    kind: z.enum(['lower', 'upper']).meta({ description: 'Whether subs should be longer than this, or shorter.' }),
    seconds,
    explanation: z.string().meta({ description: 'What this bound means.' }),
  })
  .meta({ id: 'Limit', description: 'One bound on the length of a sub.' })

const UsefulRangeSchema = z
  .strictObject({
    fromSeconds: seconds,
    toSeconds: seconds.nullable().meta({ description: 'null when nothing argues against longer subs.' }),
  })
  .meta({
    id: 'UsefulRange',
    description:
      'Every length whose information per clock hour is within 5 % of the best, cut by the hard upper bounds. Where one of them lies below all these, every length within 5 % of what it allows.',
  })

const factor = z.number().min(0).nullable()

const ReadModeAdviceSchema = z
  .strictObject({
    label: z.string().meta({ description: 'The mode, as the request calls it.' }),
    subSeconds,
    usefulRange: UsefulRangeSchema,
    swampFactor: factor.meta({ description: 'Sky electrons over read-noise variance; null without read noise.' }),
    informationShare: z.number().min(0).max(1).meta({
      description: 'Information per clock hour against the best mode, 0 to 1.',
    }),
  })
  .meta({ id: 'ReadModeAdvice', description: 'What one read mode would do.' })

const CollisionSchema = z
  .strictObject({
    lower: LimitNameSchema,
    upper: LimitNameSchema,
    explanation: z.string().meta({ description: 'Why both cannot be kept, and what gives way.' }),
  })
  .meta({ id: 'Collision', description: 'Two bounds that cannot both be kept.' })

export const SubExposureAnswerSchema = z
  .strictObject({
    recommended: z
      .strictObject({
        subSeconds,
        subCount: z.int().min(0).meta({ description: 'Subs kept in the time there is, the lost ones not counted.' }),
        integrationSeconds: seconds.meta({ description: 'Exposure in the kept subs together.' }),
        clockSeconds,
        readMode: z.string().optional().meta({ description: 'The read mode advised, where the camera has several.' }),
      })
      .meta({ description: 'The advice.' }),
    usefulRange: UsefulRangeSchema,
    limits: z.array(LimitSchema).meta({ description: 'Every bound, with the length it sets.' }),
    limitedBy: LimitNameSchema,
    collisions: z.array(CollisionSchema).meta({ description: 'Bounds that cannot both be kept; empty when all can.' }),
    swampFactor: factor.meta({
      description: 'Sky electrons over read-noise variance in one advised sub; null without read noise.',
    }),
    readNoiseExcess: factor.meta({
      description:
        'By what share read noise raises the noise of sky and dark current in one advised sub; null when there is neither.',
    }),
    darkToSky: factor.meta({ description: 'Dark current over sky; null without sky.' }),
    informationShare: z.number().min(0).max(1.000001).meta({
      description:
        'Information per clock hour at the advised length, against the best length with no hard bound, 0 to 1.',
    }),
    expected: z
      .strictObject({
        snrPerPixel: z
          .number()
          .min(0)
          .nullable()
          .meta({ description: 'Of one pixel of the stack; null without an extended target.' }),
        snrPerArcsec2: z
          .number()
          .min(0)
          .nullable()
          .meta({ description: 'Of one square arcsecond; null without an extended target, or without optics.' }),
        snrStar: z.number().min(0).nullable().meta({ description: 'Of the star; null without one.' }),
      })
      .meta({ description: 'What the stack of the advised subs yields on the target.' }),
    ...ratesFields,
    readModes: z
      .array(ReadModeAdviceSchema)
      .optional()
      .meta({ description: 'Every read mode, where there are several.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'SubExposureAnswer' })

export const subExposureExamples: Record<
  string,
  { summary: string; description: string; request: z.input<typeof SubExposureRequestSchema> }
> = {
  'three-short-objects': {
    summary: 'A whole question in three short objects',
    description: 'A class of camera, a telescope and a class of sky; every value that was filled in is listed.',
    request: {
      camera: { like: 'cooled-mono-cmos' },
      optics: { apertureMm: 80, focalLengthMm: 480 },
      sky: { bortleClass: 5 },
    },
  },
  'garden-narrow-band': {
    summary: 'A cooled mono camera in the garden, H-alpha',
    description: 'A 7 nm filter keeps most of the town out, so read noise asks for longer subs than without it.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: GARDEN,
      target: NEBULA,
      plan: { ...MEMBERS['cooled-mono'].plan, availableSeconds: 14400 },
    },
  },
  'meadow-unmodified': {
    summary: 'An unmodified consumer camera on the meadow',
    description:
      'The tripod-grade mount keeps stars round for two and a half minutes; darks exist for a ladder of lengths.',
    request: {
      camera: MEMBERS['unmodified-camera'].camera,
      optics: MEMBERS['unmodified-camera'].optics,
      sky: MEADOW,
      target: GALAXY_ARM,
      plan: {
        ...MEMBERS['unmodified-camera'].plan,
        availableSeconds: 10800,
        unclippedStarMag: 11,
        subLadderSeconds: [30, 60, 120, 240],
      },
    },
  },
  'measured-electrons': {
    summary: 'An old CCD with everything measured in electrons',
    description:
      'A narrow band under a dark sky: drowning the read noise would take hours, so losses decide. The read noise comes with its uncertainty.',
    request: {
      camera: {
        readNoiseElectrons: { value: 9, standardUncertainty: 0.4 },
        darkCurrent: { electronsPerPixelSecond: 0.01, atCelsius: -20 },
      },
      sky: { electronsPerPixelSecond: { value: 0.02, standardUncertainty: 0.003 } },
      target: { electronsPerPixelSecond: 0.05 },
      plan: { overheadSeconds: 25, interruptionsPerHour: 1 },
    },
  },
}
