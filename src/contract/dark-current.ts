import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { measured, quantity, subSeconds } from './fields.ts'
import { GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { PlanSchema } from './plan.ts'
import { SkySchema } from './sky.ts'

export const sensorCelsius = quantity({
  unit: 'deg_C',
  minimum: -150,
  maximum: 80,
  description: 'Temperature of the sensor.',
  example: -10,
})

const air = {
  unit: 'deg_C',
  minimum: -40,
  maximum: 50,
  description: 'Temperature of the air.',
  example: 12,
}

const relativeHumidityShare = quantity({
  unit: '',
  minimum: 0.01,
  maximum: 1,
  description: 'Relative humidity as a share, 0.01 to 1: 80 % is 0.8. Needed for the dew point.',
  example: 0.8,
})

const NightHourSchema = z
  .strictObject({
    at: z.iso
      .datetime({ offset: true })
      .optional()
      .meta({
        description: 'Time (ISO 8601), only to name the hour in the answer.',
        examples: ['2026-11-07T22:00:00Z'],
      }),
    celsius: quantity(air),
    relativeHumidityShare: relativeHumidityShare.optional(),
  })
  .meta({ id: 'NightHour', description: 'The air at one time of the night.' })

const NightSchema = z
  .strictObject({
    ambientCelsius: z.union([measured(air), z.array(NightHourSchema).min(1).max(100)]).meta({
      description: 'Temperature of the air: one number, or the hours of the night.',
      'x-unit': 'deg_C',
      examples: [12],
    }),
    relativeHumidityShare: relativeHumidityShare.optional().meta({
      description: 'Relative humidity as a share, 0.01 to 1, for every hour that does not give its own.',
      'x-unit': '',
      examples: [0.8],
    }),
    marginCelsius: quantity({
      unit: 'K',
      minimum: 0,
      maximum: 20,
      description: 'Kept in hand so that the cooler can regulate. Default 2.',
      example: 2,
    }).optional(),
  })
  .meta({ id: 'CoolingNight', description: 'The air that the cooler works against.' })

const TemperatureRangeSchema = z
  .strictObject({
    fromCelsius: sensorCelsius,
    toCelsius: sensorCelsius,
    stepCelsius: quantity({
      unit: 'K',
      minimum: 0.1,
      maximum: 100,
      description: 'Step from row to row.',
      example: 5,
    }),
  })
  .meta({ id: 'TemperatureRange', description: 'Temperatures from cold to warm, at most 200 of them.' })

export const DarkCurrentRequestSchema = z
  .strictObject({
    camera: CameraSchema.meta({ description: 'Needs `darkCurrent`, or `like`.' }),
    optics: OpticsSchema.optional(),
    filter: FilterSchema.optional(),
    sky: SkySchema.optional().meta({
      description: 'The sky that dark current is held against. Without it there are rates, but no shares.',
    }),
    plan: PlanSchema.optional().meta({
      description:
        'Only the lengths count: `subLadderSeconds`, or `subSeconds`, where `subLengthsSeconds` is not given.',
    }),
    celsius: z
      .union([z.array(sensorCelsius).min(1).max(200), TemperatureRangeSchema])
      .optional()
      .meta({
        description: 'Sensor temperatures of the rows: a list, or a range. Default −20 to 25 °C by 5.',
        'x-unit': 'deg_C',
        examples: [[-20, -10, 0, 10]],
      }),
    subLengthsSeconds: z
      .array(subSeconds)
      .min(1)
      .max(20)
      .optional()
      .meta({
        description: 'Lengths of sub to tell the share of the noise for; `noiseShare` is that of the first.',
        'x-unit': 's',
        examples: [[60, 300]],
      }),
    darkShare: quantity({
      unit: '',
      minimum: 0.001,
      maximum: 10,
      description:
        'Noise of the dark current over noise of the sky (RMS) that is small enough. Default 0.3, which raises the noise of sky and dark together by 4 %.',
      example: 0.3,
    }).optional(),
    night: NightSchema.optional(),
    darkLibraryCelsius: z
      .array(sensorCelsius)
      .min(1)
      .max(100)
      .optional()
      .meta({
        description: 'Temperatures for which you hold darks; the advice is then one of these, where one can be held.',
        'x-unit': 'deg_C',
        examples: [[-15, -10, 0]],
      }),
  })
  .meta({ id: 'DarkCurrentRequest' })

const rate = z.number().min(0)
const share = z.number().min(0).max(1)

export const DarkRowSchema = z
  .strictObject({
    celsius: z.number().meta({ description: 'Temperature of the sensor.' }),
    electronsPerPixelSecond: rate.meta({ description: 'Dark current of one pixel of the frame, by the form used.' }),
    noiseShare: share
      .nullable()
      .meta({ description: 'Share of the variance of one sub of the first length, 0 to 1; null without a sky.' }),
    darkToSkyNoise: rate.nullable().meta({
      description: 'Noise of the dark current over noise of the sky (RMS), whatever the length; null without a sky.',
    }),
    depletionElectronsPerPixelSecond: rate.meta({ description: 'By the physical form.' }),
    doublingElectronsPerPixelSecond: rate.meta({ description: 'By the constant doubling step.' }),
    localDoublingCelsius: rate.meta({ description: 'Warming that doubles it here, by the form used.' }),
    stretchCelsius: z.number().meta({ description: 'Distance from the reference; negative when colder.' }),
    subs: z
      .array(
        z.strictObject({
          subSeconds,
          darkElectrons: rate.meta({ description: 'Left by the dark current on a pixel of one sub.' }),
          noiseShare: share.nullable().meta({ description: 'Share of the variance of one sub; null without a sky.' }),
          noiseExcessShare: rate.nullable().meta({
            description: 'By what share dark current raises the noise (RMS) of one sub; null without a sky.',
          }),
        }),
      )
      .meta({ description: 'One entry for each length.' }),
  })
  .meta({ id: 'DarkCurrentRow', description: 'Dark current at one temperature.' })

export const SetPointSchema = z
  .strictObject({
    celsius: z.number().meta({ description: 'The temperature to set, °C.' }),
    coldestReachable: z.number().meta({
      description: 'Coldest that the cooler holds through the warmest hour, margin kept, °C.',
    }),
    warmestColdEnoughCelsius: z.number().nullable().meta({
      description: 'Warmest at which dark noise is small enough; null when every temperature is, or none.',
    }),
    warmestHeldCelsius: z
      .number()
      .meta({ description: 'Warmest that can be held through the coldest hour, and never below `coldestReachable`.' }),
    heldAllNight: z.boolean().meta({ description: 'False when no one temperature can be held from end to end.' }),
    isColdEnough: z.boolean().meta({ description: 'Whether dark noise is small enough at the advised temperature.' }),
    reason: z
      .enum(['cold-enough', 'cooling-not-needed', 'cooler-limited', 'library-not-cold-enough'])
      .meta({ description: 'Why this temperature.' }),
    library: z
      .enum(['none-given', 'used', 'out-of-reach'])
      .meta({ description: 'Whether the temperatures of your darks decided.' }),
    darkElectronsPerPixelSecond: rate.meta({ description: 'Dark current there.' }),
    darkToSkyNoise: rate.meta({ description: 'Noise of the dark current over noise of the sky (RMS) there.' }),
    noiseSavedByColdestShare: z.number().max(1).meta({
      description: 'What the coldest reachable temperature would still save of the noise of sky and dark, 0 to 1.',
    }),
    explanation: z.string().meta({ description: 'Why, in a sentence.' }),
  })
  .meta({ id: 'SetPoint', description: 'The temperature to hold the sensor at.' })

const DewPointSchema = z
  .strictObject({
    dewPointCelsius: z.number().meta({ description: 'Highest dew point of the night.' }),
    belowDewPointCelsius: z.number().meta({
      description: 'How far the sensor stands below it; negative when it stays above.',
    }),
    sensorCelsius: z.number().meta({ description: 'Temperature of the sensor that was compared.' }),
    deposit: z.enum(['none', 'dew', 'ice']).meta({ description: 'What undried air would leave on it.' }),
    at: z.string().nullable().meta({ description: 'The time of that hour, where it was given.' }),
  })
  .meta({ id: 'DewPoint', description: 'Whether the sensor stands below the dew point.' })

export const DarkCurrentAnswerSchema = z
  .strictObject({
    rows: z.array(DarkRowSchema).meta({ description: 'One for each temperature, in the order asked for.' }),
    setPoint: SetPointSchema.nullable().meta({
      description: 'Null without a cooler, the temperature of the air and a sky; the explanation tells which.',
    }),
    dewPoint: DewPointSchema.nullable().meta({
      description: 'Null without humidity, or where the sensor’s temperature is unknown.',
    }),
    form: z.enum(['doubling', 'depletion']).meta({
      description:
        'The form used: a constant doubling step where you gave one, else the physical (depletion) form for silicon.',
    }),
    doublingCelsius: rate.meta({ description: 'Step of the doubling form: yours, or the local one at the reference.' }),
    referenceCelsius: z.number().meta({ description: 'Temperature that the dark current was given for.' }),
    skyElectronsPerPixelSecond: rate.nullable().meta({ description: 'The sky held against; null without one.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'DarkCurrentAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof DarkCurrentRequestSchema> }
>

export const darkCurrentExamples: Examples = {
  'garden-autumn-night': {
    summary: 'How cold for H-alpha from the garden, on an autumn night?',
    description: 'The air of the night hour by hour, and darks at three temperatures to choose among.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: GARDEN,
      subLengthsSeconds: [120, 300],
      night: {
        ambientCelsius: [
          { at: '2026-10-10T20:00:00Z', celsius: 14, relativeHumidityShare: 0.72 },
          { at: '2026-10-10T23:00:00Z', celsius: 10, relativeHumidityShare: 0.85 },
          { at: '2026-10-11T02:00:00Z', celsius: 7, relativeHumidityShare: 0.93 },
        ],
      },
      darkLibraryCelsius: [-15, -10, 0],
    },
  },
  'meadow-old-ccd': {
    summary: 'What does temperature cost an old CCD on the meadow?',
    description: 'One air temperature with its uncertainty; the doubling step was measured.',
    request: {
      camera: MEMBERS['old-ccd'].camera,
      optics: MEMBERS['old-ccd'].optics,
      filter: { band: 'green' },
      sky: MEADOW,
      celsius: { fromCelsius: -30, toCelsius: 10, stepCelsius: 5 },
      subLengthsSeconds: [300],
      night: { ambientCelsius: { value: 12, standardUncertainty: 2 }, relativeHumidityShare: 0.8 },
    },
  },
  'uncooled-in-summer': {
    summary: 'A consumer camera through a warm night',
    description: 'Without a cooler there is nothing to set, but the table tells what a cooler night is worth.',
    request: {
      camera: MEMBERS['unmodified-camera'].camera,
      sky: { electronsPerPixelSecond: 1.2 },
      celsius: [5, 10, 15, 20, 25, 30],
    },
  },
}
