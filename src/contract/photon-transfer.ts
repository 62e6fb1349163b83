import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { sensorCelsius } from './dark-current.ts'
import { count, quantity } from './fields.ts'
import { MeasuredValueSchema, SendableNumberSchema } from './measured-value.ts'

const levelAdu = (description: string, example: number) =>
  quantity({ unit: 'adu', minimum: -1e9, maximum: 1e9, description, example })

const varianceAdu2 = (minimum: number, description: string, example: number) =>
  quantity({ unit: 'adu**2', minimum, maximum: 1e15, description, example })

const pixelCount = count({
  minimum: 2,
  maximum: 1e12,
  description: 'Pixels behind the statistics; tells how sure they are. For every entry or for none.',
  example: 250000,
}).optional()

const LevelSchema = z
  .strictObject({
    meanAdu: levelAdu('Mean level of a pair of flats, offset included; not below `darkMeanAdu`.', 12500),
    temporalVarianceAdu2: varianceAdu2(
      0,
      'Variance in time: half the variance of the difference of the two flats.',
      15600,
    ),
    darkMeanAdu: levelAdu('Mean level of a pair of darks of the same exposure, or of bias frames.', 500),
    darkTemporalVarianceAdu2: varianceAdu2(1e-6, 'Half the variance of the difference of those two.', 41),
    spatialVarianceAdu2: varianceAdu2(
      -1e15,
      'Covariance of the two flats from pixel to pixel: the fixed pattern alone. May come out negative.',
      900,
    ).optional(),
    darkSpatialVarianceAdu2: varianceAdu2(-1e15, 'Covariance of the two darks.', 3).optional(),
    pixelCount,
    photonsPerPixel: quantity({
      unit: 'photon/pixel',
      minimum: 1e-6,
      maximum: 1e12,
      description: 'Mean photons on a pixel, where the light was calibrated; gives the quantum efficiency.',
      example: 60000,
    }).optional(),
    exposureSeconds: quantity({
      unit: 's',
      minimum: 1e-6,
      maximum: 86400,
      description: 'Exposure of the flats under a steady light; gives the linearity.',
      example: 1.5,
    }).optional(),
    clippedShare: quantity({
      unit: '',
      minimum: 0,
      maximum: 1,
      description:
        'Share of the pixels at the highest code, 0 to 1; gives the saturation, beside the fall of the variance. For every level or for none.',
      example: 0,
    }).optional(),
  })
  .meta({ id: 'PhotonTransferLevel', description: 'Statistics of a pair of flats of one level, and of its darks.' })

const DarkPairSchema = z
  .strictObject({
    subSeconds: quantity({
      unit: 's',
      minimum: 0,
      maximum: 86400,
      description: 'Exposure of the darks.',
      example: 300,
    }),
    meanAdu: levelAdu('Mean level of the pair.', 512),
    temporalVarianceAdu2: varianceAdu2(0, 'Half the variance of the difference of the two.', 60),
    pixelCount,
  })
  .meta({ id: 'DarkPair', description: 'Statistics of a pair of darks of one exposure.' })

const ladder = {
  levels: z.array(LevelSchema).min(1).max(200).meta({
    description: 'A ladder of flats. Two levels give a gain, one that clips gives the full well.',
  }),
  darks: z.array(DarkPairSchema).min(2).max(100).optional().meta({
    description: 'Darks of two or more exposures, all at `darksCelsius`: they give the dark current.',
  }),
}

const LadderSchema = z
  .strictObject({
    label: z
      .string()
      .min(1)
      .max(60)
      .meta({ description: 'Your name for the mode.', examples: ['low gain'] }),
    ...ladder,
  })
  .meta({ id: 'PhotonTransferLadder', description: 'A ladder of flats in one read mode.' })

export const PhotonTransferRequestSchema = z
  .strictObject({
    levels: ladder.levels.optional(),
    darks: ladder.darks,
    readModes: z.array(LadderSchema).min(1).max(20).optional().meta({
      description: 'In place of `levels`: a ladder for each read mode, to have them side by side.',
    }),
    darksCelsius: sensorCelsius.optional().meta({
      description: 'Sensor temperature of the darks; without it no dark current goes into `camera`.',
      'x-unit': 'deg_C',
      examples: [-10],
    }),
    bitDepth: count({
      minimum: 4,
      maximum: 32,
      description: 'Bits of the converter; goes into `camera` as it is.',
      example: 16,
    }).optional(),
  })
  .meta({ id: 'PhotonTransferRequest' })

const number = (description: string) => MeasuredValueSchema.meta({ description })
const maybe = (description: string) => MeasuredValueSchema.nullable().meta({ description })

const GainLineSchema = z
  .strictObject({
    electronsPerAdu: number('Electrons that raise the output by one ADU.'),
    aduPerElectron: number('The inverse, which EMVA 1288 calls K.'),
    interceptAdu2: number('Variance where the line meets no signal; 0 for the line through the origin.'),
  })
  .meta({ id: 'GainLine', description: 'A line of temporal variance over mean.' })

const modeFields = {
  electronsPerAdu: number('Conversion gain, from the line through the origin.'),
  gain: z
    .strictObject({
      throughOrigin: GainLineSchema.meta({ description: 'The line of the standard, which every figure uses.' }),
      withIntercept: GainLineSchema.nullable().meta({
        description: 'A line with an intercept beside it; null with too few levels.',
      }),
      levelsUsed: z.int().min(1).meta({ description: 'Levels in the fit: those up to 70 % of saturation.' }),
      uncertaintyFrom: z.enum(['pixel-counts', 'scatter', 'nothing']).meta({
        description: 'Whether the uncertainties come from the number of pixels, from the scatter, or from nothing.',
      }),
    })
    .meta({ description: 'Both ways to fit the gain.' }),
  readNoiseElectrons: number('Noise of one read (RMS) as frames show it, rounding to whole ADU included.'),
  readNoiseWithoutQuantizationElectrons: maybe('The same without the rounding; null where rounding hides it.'),
  readNoiseBelowElectrons: z.number().min(0).nullable().meta({
    description: 'What the read noise lies below where rounding hides it; else null.',
  }),
  sensitivityThresholdElectrons: number('Signal at which the signal-to-noise ratio of a pixel is 1.'),
  offsetAdu: z.number().meta({ description: 'Level of a frame without light.' }),
  fullWellElectrons: maybe('Electrons at which the output saturates; null where no level reaches it.'),
  saturation: z
    .strictObject({
      signalAdu: z.number().meta({ description: 'Level above the dark.' }),
      meanAdu: z.number().meta({ description: 'Level as the frames show it.' }),
      method: z.enum(['clipped-share', 'variance-maximum']).meta({
        description:
          'By the share of clipped pixels (Release 4.0), or where that stays low by the highest variance (Release 3.1).',
      }),
      maximumSnr: number('Signal-to-noise ratio of a pixel at saturation.'),
    })
    .nullable()
    .meta({ description: 'Where the ladder saturates; null where it does not.' }),
  dynamicRange: z
    .strictObject({
      ratio: number('Saturation over the sensitivity threshold.'),
      decibels: number('20 log₁₀ of it.'),
      stops: number('log₂ of it.'),
    })
    .nullable()
    .meta({ description: 'Null without saturation.' }),
  linearity: z
    .strictObject({
      errorShare: number('Mean deviation from a straight line, as a share: 0.01 is 1 %.'),
      minimumShare: z.number().meta({ description: 'Most below the line.' }),
      maximumShare: z.number().meta({ description: 'Most above the line.' }),
      noiseFloorShare: z.number().min(0).nullable().meta({
        description: 'What noise alone would make of a straight response; null where unknown.',
      }),
    })
    .nullable()
    .meta({ description: 'Null without exposures or photons for three levels or more.' }),
  darkNonUniformityElectrons: maybe('DSNU; null without spatial variances, or where noise hides the pattern.'),
  photoResponseNonUniformityShare: maybe('PRNU as a share of the signal; null likewise.'),
  quantumEfficiency: maybe('Electrons per photon; null without photons for every level.'),
  darkCurrent: z
    .strictObject({
      byMean: number('From the growth of the mean level, electrons per pixel and second.'),
      byVariance: number('From the growth of the variance, which a camera that takes the mean off still shows.'),
    })
    .nullable()
    .meta({ description: 'Null without darks.' }),
}

const ReadModeResultSchema = z
  .strictObject({ label: z.string().meta({ description: 'The name of the mode.' }), ...modeFields })
  .meta({ id: 'PhotonTransferMode', description: 'What the ladder of one read mode tells.' })

const sendableMode = {
  electronsPerAdu: SendableNumberSchema.optional(),
  readNoiseElectrons: SendableNumberSchema.optional(),
  fullWellElectrons: SendableNumberSchema.optional(),
}

export const PhotonTransferAnswerSchema = z
  .strictObject({
    ...modeFields,
    readModes: z.array(ReadModeResultSchema).meta({
      description: 'Every read mode, side by side; the figures above are those of the first.',
    }),
    camera: z
      .strictObject({
        ...sendableMode,
        offsetAdu: z.number().optional(),
        bitDepth: z.int().optional(),
        darkCurrent: z
          .strictObject({ electronsPerPixelSecond: SendableNumberSchema, atCelsius: z.number() })
          .optional(),
        readModes: z
          .array(
            z.strictObject({
              label: z.string(),
              readNoiseElectrons: SendableNumberSchema,
              electronsPerAdu: SendableNumberSchema,
              fullWellElectrons: SendableNumberSchema,
            }),
          )
          .optional(),
      })
      .meta({ description: 'The result as a `camera`, which the other questions take unchanged.' }),
    measured: z
      .strictObject({ levels: z.array(LevelSchema), darks: z.array(DarkPairSchema).optional() })
      .optional()
      .meta({ description: 'The statistics, where frames were sent; the JSON form takes them as they are.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'PhotonTransferAnswer' })

export type PhotonTransferAnswer = z.infer<typeof PhotonTransferAnswerSchema>

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof PhotonTransferRequestSchema> }
>

const BIAS = { darkMeanAdu: 500, darkTemporalVarianceAdu2: 41, darkSpatialVarianceAdu2: 3, pixelCount: 250000 }

const flats = (
  rows: readonly (readonly [number, number, number, number, number])[],
): z.input<typeof LadderSchema>['levels'] =>
  rows.map(([exposureSeconds, meanAdu, temporalVarianceAdu2, spatialVarianceAdu2, clippedShare]) => ({
    exposureSeconds,
    meanAdu,
    temporalVarianceAdu2,
    spatialVarianceAdu2,
    clippedShare,
    ...BIAS,
  }))

export const photonTransferExamples: Examples = {
  'cooled-mono-ladder': {
    summary: 'The cooled mono camera, measured on a light panel',
    description: 'Six levels up to clipping, and darks of three lengths at −10 °C.',
    request: {
      levels: flats([
        [0.2, 4510, 16085, 385, 0],
        [0.6, 12495, 48070, 3470, 0],
        [1.2, 24515, 96010, 13700, 0],
        [2, 40480, 160150, 38550, 0],
        [2.8, 56520, 223700, 75600, 0],
        [3.4, 65480, 1200, 300, 0.93],
      ]),
      darks: [
        { subSeconds: 60, meanAdu: 500.2, temporalVarianceAdu2: 41.8, pixelCount: 250000 },
        { subSeconds: 300, meanAdu: 500.95, temporalVarianceAdu2: 44.9, pixelCount: 250000 },
        { subSeconds: 900, meanAdu: 502.9, temporalVarianceAdu2: 52.4, pixelCount: 250000 },
      ],
      darksCelsius: -10,
      bitDepth: 16,
    },
  },
  'two-read-modes': {
    summary: 'Two read modes side by side',
    description: 'The quieter mode holds less; the camera in the answer has both to choose among.',
    request: {
      readModes: [
        {
          label: 'low gain',
          levels: flats([
            [0.5, 5480, 6410, 120, 0],
            [1.5, 15460, 19180, 1020, 0],
            [3, 30510, 38480, 4060, 0],
            [5, 50490, 63950, 11280, 0],
            [7, 65490, 800, 200, 0.9],
          ]),
        },
        {
          label: 'high gain',
          levels: flats([
            [0.2, 4510, 16085, 385, 0],
            [0.6, 12495, 48070, 3470, 0],
            [1.2, 24515, 96010, 13700, 0],
            [2.2, 44490, 176100, 46800, 0],
            [3.4, 65480, 1200, 300, 0.93],
          ]),
        },
      ],
      bitDepth: 16,
    },
  },
  'two-flats-two-biases': {
    summary: 'The least: one level and a pair of bias frames',
    description: 'Gain and read noise from four frames; what else there is to know stays open.',
    request: {
      levels: [
        {
          meanAdu: 21000,
          temporalVarianceAdu2: 16400,
          darkMeanAdu: 1000,
          darkTemporalVarianceAdu2: 225,
          pixelCount: 40000,
        },
      ],
    },
  },
}
