import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { seconds, subSeconds } from './fields.ts'
import { NEBULA, GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { clockSeconds, GoalSchema } from './plan.ts'
import { ratesFields } from './rates.ts'
import { TargetSchema } from './sky.ts'
import { SubExposureRequestSchema } from './sub-exposure.ts'

export const IntegrationTimeRequestSchema = SubExposureRequestSchema.extend({
  target: TargetSchema,
  goal: GoalSchema,
}).meta({ id: 'IntegrationTimeRequest' })

export const IntegrationTimeAnswerSchema = z
  .strictObject({
    reachable: z.boolean().meta({ description: 'Whether any number of subs reaches the goal.' }),
    subCount: z
      .int()
      .min(1)
      .nullable()
      .meta({ description: 'The least number of kept subs that does; null when none does.' }),
    integrationSeconds: seconds
      .nullable()
      .meta({ description: 'Exposure in them together; null when the goal is out of reach.' }),
    clockSeconds: clockSeconds.nullable().meta({
      description:
        'Time on the clock, with dead time and the subs that are lost on average; null when the goal is out of reach.',
      'x-unit': 's',
    }),
    ceilingSnr: z.number().min(0).nullable().meta({
      description: 'The highest signal-to-noise ratio there is, however many subs; null when calibration sets none.',
    }),
    reachedSnr: z.number().min(0).nullable().meta({
      description: 'What that number of subs yields; null when the goal is out of reach.',
    }),
    subSeconds,
    ...ratesFields,
    ...commonAnswerFields,
  })
  .meta({ id: 'IntegrationTimeAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof IntegrationTimeRequestSchema> }
>

export const integrationTimeExamples: Examples = {
  'nebula-from-the-garden': {
    summary: 'How long for a nebula from the garden?',
    description: 'Signal-to-noise ratio 10 per square arcsecond in H-alpha.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: GARDEN,
      target: NEBULA,
      plan: { ...MEMBERS['cooled-mono'].plan, calibration: { darkFrames: 40, ditherPositions: 30 } },
      goal: { snr: 10, per: 'arcsec2' },
    },
  },
  'galaxy-from-the-meadow': {
    summary: 'The same question for a galaxy on the meadow',
    description: 'A modified consumer camera; the plane of the mosaic with the least signal decides.',
    request: {
      camera: MEMBERS['modified-camera'].camera,
      optics: MEMBERS['modified-camera'].optics,
      sky: MEADOW,
      target: GALAXY_ARM,
      plan: { ...MEMBERS['modified-camera'].plan, subSeconds: 120 },
      goal: { snr: 5, per: 'pixel' },
    },
  },
  'above-the-ceiling': {
    summary: 'A goal that too few darks put out of reach',
    description: 'Without dither every sub carries the error of the same four darks, so more subs do not help.',
    request: {
      camera: { readNoiseElectrons: 3, darkCurrent: { electronsPerPixelSecond: 0.1, atCelsius: 15 } },
      sky: { electronsPerPixelSecond: 0.5 },
      target: { electronsPerPixelSecond: 0.01 },
      plan: { subSeconds: 120, calibration: { darkFrames: 4 } },
      goal: { snr: 5, per: 'pixel' },
    },
  },
}
