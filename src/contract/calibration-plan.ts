import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { sensorCelsius } from './dark-current.ts'
import { electronsPerPixelSecond, quantity, subSeconds } from './fields.ts'
import { GALAXY_ARM, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS, NEBULA } from './heron-ridge.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { PlanSchema } from './plan.ts'
import { SkySchema, TargetSchema } from './sky.ts'

const PlannedSubsSchema = z
  .strictObject({
    subSeconds,
    coldestCelsius: sensorCelsius.meta({
      description: 'Coldest sensor temperature that these subs may have.',
      'x-unit': 'deg_C',
      examples: [-15],
    }),
    warmestCelsius: sensorCelsius.optional().meta({
      description: 'Warmest that they may have. Default: the coldest, so one temperature only.',
      'x-unit': 'deg_C',
      examples: [-5],
    }),
  })
  .meta({ id: 'PlannedSubs', description: 'Subs of one length, and the sensor temperatures that would do for them.' })

const DarkLibraryPlanSchema = z
  .strictObject({
    planned: z.array(PlannedSubsSchema).min(1).max(500).meta({ description: 'The subs of the season.' }),
    toleranceCelsius: quantity({
      unit: 'K',
      minimum: 0,
      maximum: 50,
      description:
        'How far from its subs a dark may be. Default: what keeps a mismatch small on ordinary and hot pixels, at most 5.',
      example: 1,
    }).optional(),
  })
  .meta({ id: 'DarkLibraryPlan', description: 'The subs that a library of darks shall serve.' })

export const CalibrationPlanRequestSchema = z
  .strictObject({
    camera: CameraSchema,
    optics: OpticsSchema.optional(),
    filter: FilterSchema.optional(),
    sky: SkySchema,
    target: TargetSchema.optional(),
    plan: PlanSchema.optional().meta({
      description:
        'Length and number of subs; of `calibration` only `flatElectrons` and `ditherPositions` count, since the numbers of frames are the answer.',
    }),
    calibrationTolerance: quantity({
      unit: '',
      minimum: 0.0001,
      maximum: 1,
      description: 'By what share calibration may raise the noise (RMS) of the stack. Default 0.05.',
      example: 0.05,
    }).optional(),
    flatSeconds: quantity({
      unit: 's',
      minimum: 0.00001,
      maximum: 3600,
      description: 'Exposure of one flat. Default 1.',
      example: 1,
    }).optional(),
    darksCelsius: sensorCelsius.optional().meta({
      description: 'Temperature of darks at hand, to tell what their mismatch costs. Default: 5 °C above the lights.',
      'x-unit': 'deg_C',
      examples: [-5],
    }),
    hotPixelElectronsPerSecond: electronsPerPixelSecond.optional().meta({
      description:
        'Dark current of a hot pixel at the temperature of the lights. Default: 100 times that of an ordinary one.',
      'x-unit': 'electron/(pixel.s)',
      examples: [2],
    }),
    library: DarkLibraryPlanSchema.optional(),
  })
  .meta({ id: 'CalibrationPlanRequest' })

const share = z.number().min(0)
const frames = z.int().min(1)

const ResidualSchema = z
  .strictObject({
    perSubElectrons: z.number().meta({ description: 'Left in one sub; negative when the darks were warmer.' }),
    overStackNoise: z.number().meta({ description: 'Left in the stack over its noise (RMS), with your dither.' }),
    overStackNoiseWithoutDither: z.number().meta({ description: 'The same if nothing were dithered.' }),
  })
  .meta({ id: 'MismatchResidual', description: 'What darks of another temperature leave behind on a pixel.' })

const side = (description: string) => z.number().min(0).nullable().meta({ description })

const ToleranceSchema = z
  .strictObject({
    colderCelsius: side('How much colder than the lights darks may be; null without a limit.'),
    warmerCelsius: side('How much warmer; null without a limit.'),
  })
  .meta({ id: 'TemperatureTolerance', description: 'How far off the temperature of darks may be.' })

export const CalibrationPlanAnswerSchema = z
  .strictObject({
    frames: z
      .strictObject({
        darks: frames.meta({ description: 'Darks as long and as cold as the subs.' }),
        flats: frames.meta({ description: 'Flats of the level named.' }),
        bias: frames.nullable().meta({ description: 'Bias frames for the flats; null where dark-flats are better.' }),
        darkFlats: frames.nullable().meta({
          description:
            'Darks as long as the flats, in place of bias, where dark current shows in the flats; else null.',
        }),
      })
      .meta({ description: 'The fewest frames in all that keep the tolerance.' }),
    varianceShares: z
      .strictObject({
        darks: share.meta({ description: 'Of the darks.' }),
        flats: share.meta({ description: 'Of the flats.' }),
        flatOffsets: share.meta({ description: 'Of the bias or dark-flats.' }),
      })
      .meta({ description: 'Variance that each kind adds, over that of the stack without calibration.' }),
    noiseExcessShare: share.meta({ description: 'By what share these frames together raise the noise of the stack.' }),
    temperatureToleranceCelsius: z.number().min(0).nullable().meta({
      description:
        'How far off the temperature of darks may be on an ordinary pixel, to the stricter side; null without a limit or dark current.',
    }),
    tolerance: z
      .strictObject({ ordinary: ToleranceSchema, hot: ToleranceSchema })
      .nullable()
      .meta({ description: 'Both sides, for an ordinary and for a hot pixel; null without dark current.' }),
    residual: z
      .strictObject({
        lightsCelsius: z.number().meta({ description: 'Temperature of the lights.' }),
        darksCelsius: z.number().meta({ description: 'Temperature of the darks.' }),
        ordinary: ResidualSchema,
        hot: ResidualSchema,
      })
      .nullable()
      .meta({ description: 'What darks of another temperature would leave; null without dark current.' }),
    library: z
      .array(
        z
          .strictObject({
            celsius: z.number().meta({ description: 'Temperature to take them at.' }),
            subSeconds,
            serves: z.array(z.string()).meta({ description: 'JSON Pointers to the planned subs they serve.' }),
          })
          .meta({ id: 'LibraryDarks' }),
      )
      .nullable()
      .meta({ description: 'The fewest sets of darks that serve all planned subs; null when none are planned.' }),
    subSeconds,
    subCount: z.int().min(1).meta({ description: 'Subs in the stack.' }),
    flatElectrons: share.meta({ description: 'Level of one flat, electrons per pixel.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'CalibrationPlanAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof CalibrationPlanRequestSchema> }
>

export const calibrationPlanExamples: Examples = {
  'garden-season': {
    summary: 'Calibration for a season of H-alpha from the garden',
    description: 'Frames for one stack, the cost of darks five degrees off, and the dark library of three plans.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: GARDEN,
      target: NEBULA,
      plan: { subSeconds: 240, subCount: 60, calibration: { flatElectrons: 8000, ditherPositions: 12 } },
      library: {
        planned: [
          { subSeconds: 240, coldestCelsius: -15, warmestCelsius: -8 },
          { subSeconds: 240, coldestCelsius: -10, warmestCelsius: 0 },
          { subSeconds: 60, coldestCelsius: -10 },
        ],
        toleranceCelsius: 1,
      },
    },
  },
  'meadow-no-cooler': {
    summary: 'A consumer camera on the meadow, darks from a warmer night',
    description: 'Without a cooler the darks are four degrees too warm; the answer tells what is left of them.',
    request: {
      camera: MEMBERS['modified-camera'].camera,
      optics: MEMBERS['modified-camera'].optics,
      sky: MEADOW,
      target: GALAXY_ARM,
      plan: { subSeconds: 120, subCount: 90, calibration: { ditherPositions: 30 } },
      darksCelsius: 18,
      hotPixelElectronsPerSecond: { value: 8, standardUncertainty: 2 },
    },
  },
  'measured-electrons': {
    summary: 'Everything in electrons',
    description: 'A measured sky and camera; dithered over ten positions.',
    request: {
      camera: {
        readNoiseElectrons: 3,
        darkCurrent: { electronsPerPixelSecond: { value: 0.05, standardUncertainty: 0.01 }, atCelsius: 0 },
      },
      sky: { electronsPerPixelSecond: 0.8 },
      plan: { subSeconds: 180, subCount: 40, calibration: { ditherPositions: 10 } },
      darksCelsius: 3,
    },
  },
}
