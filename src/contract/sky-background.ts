import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { ratesFields } from './rates.ts'
import { SkySchema } from './sky.ts'

export const SkyBackgroundRequestSchema = z
  .strictObject({
    camera: CameraSchema.optional().meta({ description: 'Without it the answer stays in magnitudes.' }),
    optics: OpticsSchema.optional(),
    filter: FilterSchema.optional(),
    sky: SkySchema,
  })
  .meta({ id: 'SkyBackgroundRequest' })

const mag = z.number()

const ContributionSchema = z
  .strictObject({
    name: z
      .enum(['natural', 'artificial', 'moon'])
      .meta({ description: 'Airglow, zodiacal light and starlight; lamps; moonlight.' }),
    magPerArcsec2: mag.meta({ description: 'Its own brightness in V.' }),
    electronsPerPixelSecond: z.number().min(0).nullable().meta({ description: 'On one pixel; null without a camera.' }),
    share: z.number().min(0).max(1).meta({
      description: 'Share of the electrons, or of the light in V when there is no camera; 0 to 1.',
    }),
  })
  .meta({ id: 'SkyContribution', description: 'One source of sky light.' })

export const SkyBackgroundAnswerSchema = z
  .strictObject({
    electronsPerPixelSecond: z.number().min(0).nullable().meta({
      description: 'Sky on one pixel of the plane named; null without a camera.',
    }),
    magPerArcsec2: mag.nullable().meta({
      description:
        'Brightness of the sky in V where the target stands, Moon included; null when it was given in electrons and no optics tell its brightness.',
    }),
    candelaPerSquareMeter: z.number().min(0).nullable().meta({ description: 'The same as luminance.' }),
    bortleClass: z.int().min(1).max(9).nullable().meta({
      description: 'The class of the moonless sky; null when its brightness is unknown.',
    }),
    contributions: z.array(ContributionSchema).meta({ description: 'What the sky is made of; empty when unknown.' }),
    ...ratesFields,
    channel: ratesFields.channel
      .nullable()
      .meta({ description: 'Colour plane of the electrons; null without a camera.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'SkyBackgroundAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof SkyBackgroundRequestSchema> }
>

export const skyBackgroundExamples: Examples = {
  'meadow-with-moon': {
    summary: 'The meadow with a half Moon, through an H-alpha filter',
    description: 'What moonlight adds to a narrow band.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: { ...MEADOW, moon: { phaseAngleDegrees: 90, altitudeDegrees: 35, separationDegrees: 70 } },
    },
  },
  'garden-no-camera': {
    summary: 'The garden’s sky alone',
    description: 'Without a camera the answer stays in magnitudes and candela.',
    request: { sky: GARDEN },
  },
  'measured-background': {
    summary: 'A sky measured on a sub',
    description: 'Background level, offset and gain give electrons; optics and filter turn them into a brightness.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: { band: 'luminance' },
      sky: { measured: { backgroundAdu: { value: 1600, standardUncertainty: 8 }, subSeconds: 60 } },
    },
  },
}
