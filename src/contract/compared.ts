// What the questions of choosing are asked with: set-ups with their prices, sites, targets, a goal and a night.

import { z } from 'zod'
import { CameraSchema } from './camera.ts'
import { measured, quantity, temperatureCelsius } from './fields.ts'
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

export const ComparedSkySchema = z
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
  ...TargetSchema.shape,
  lines: z.array(LineLightSchema).min(1).max(5).optional().meta({
    description:
      'Emission lines, each of which must reach the goal: in the channel and colour plane that is quickest for it.',
  }),
}

export const ComparedTargetSchema = z.strictObject({ name: nameField, ...targetFields }).meta({
  id: 'ComparedTarget',
  description:
    'What is imaged: an extended target as in every question, several emission `lines`, or both. A continuum must reach the goal in every channel and in every colour plane that sees it.',
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
