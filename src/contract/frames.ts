import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { quantity, subSeconds } from './fields.ts'
import { SendableNumberSchema } from './measured-value.ts'

export const BAYER_PATTERN_NAMES = ['RGGB', 'BGGR', 'GRBG', 'GBRG'] as const

/** What may stand in the query beside a frame. */
export const FrameParametersSchema = z
  .strictObject({
    bayerPattern: z
      .enum(BAYER_PATTERN_NAMES)
      .optional()
      .meta({
        description:
          'Colours of the file’s first two pixels, then of its second row’s. Goes before the header’s own; without either the frame counts as mono.',
        examples: ['RGGB'],
      }),
    subSeconds: subSeconds.optional().meta({
      description: 'Exposure of the frame, where the header has no `EXPTIME`.',
      'x-unit': 's',
      examples: [120],
    }),
    electronsPerAdu: quantity({
      unit: 'electron/adu',
      minimum: 0.001,
      maximum: 1000,
      description: 'Electrons that raise the output by one ADU, as measured. Goes before the header’s `EGAIN`.',
      example: 0.78,
    }).optional(),
    offsetAdu: quantity({
      unit: 'adu',
      minimum: 0,
      maximum: 1e6,
      description:
        'Level of a frame without light: the mean of a bias or dark. Without it nothing is told in electrons.',
      example: 500,
    }).optional(),
    saturationAdu: quantity({
      unit: 'adu',
      minimum: 0,
      maximum: 1e9,
      description:
        'Level from which a pixel counts as clipped. Without it: where pixels pile up, else the largest code of the file.',
      example: 65535,
    }).optional(),
  })
  .meta({ id: 'FrameParameters', description: 'What the header of a frame does not tell.', 'x-query': true })

const adu = (description: string) => z.number().meta({ description, 'x-unit': 'adu' })
const share = (description: string) => z.number().min(0).max(1).meta({ description, 'x-unit': '' })
const channel = z.enum(['mono', 'red', 'green', 'blue'])

const backgroundFields = {
  background: z
    .strictObject({
      adu: adu('Level of the sky at the middle of the frame, offset included, where no star reaches.'),
      electronsPerPixelSecond: z.number().nullable().meta({
        description:
          'Electrons per pixel and second above the offset, dark current included; null without gain, offset or exposure, below the offset, and where the background is clipped.',
        'x-unit': 'electron/(pixel.s)',
      }),
    })
    .meta({ description: 'What the sky puts on a pixel.' }),
  noise: z
    .strictObject({
      adu: adu('Standard deviation of a background pixel, from differences of neighbours of one colour.'),
      electrons: z.number().nullable().meta({ description: 'The same; null without gain.', 'x-unit': 'electron' }),
    })
    .meta({ description: 'What a background pixel scatters.' }),
  clippedShare: share(
    'Share of the valid pixels at the saturation level or above, 0 to 1; null where none is known.',
  ).nullable(),
}

const FramePlaneSchema = z
  .strictObject({
    channel: channel.meta({ description: 'Colour plane.' }),
    ...backgroundFields,
    missingShare: share('Share of the pixels that are blank, NaN or infinite, 0 to 1.'),
    medianAdu: adu('Median of all valid pixels.'),
    medianDeviationAdu: adu('Median absolute deviation from it, not scaled.'),
    meanAdu: adu('Mean of all valid pixels.'),
    minimumAdu: adu('Lowest valid pixel.'),
    maximumAdu: adu('Highest valid pixel.'),
  })
  .meta({ id: 'FramePlane', description: 'One colour plane of a frame.' })

const FrameStarSchema = z
  .strictObject({
    xPx: z
      .number()
      .meta({ description: 'Column of the center; the middle of the file’s first pixel is 1.', 'x-unit': 'pix' }),
    yPx: z.number().meta({ description: 'Row of the center, in the order of the file.', 'x-unit': 'pix' }),
    fluxAdu: adu('Light within the aperture above the background; on a mosaic as if every pixel were green.'),
    fluxElectrons: z.number().nullable().meta({ description: 'The same; null without gain.', 'x-unit': 'electron' }),
    fwhmPx: z.number().min(0).meta({ description: 'Full width at half maximum.', 'x-unit': 'pix' }),
    eccentricity: share('0 round, towards 1 a trail.'),
  })
  .meta({ id: 'FrameStar', description: 'A star that is bright and not clipped.' })

const wholeCount = (description: string) => z.int().min(0).meta({ description, 'x-unit': 'count' })

export const FRAME_CONDITIONS = ['constant', 'all-clipped', 'too-small'] as const

export const FramesAnswerSchema = z
  .strictObject({
    channel: channel.meta({ description: 'Plane of the figures below: green where there is colour.' }),
    ...backgroundFields,
    gradient: z
      .strictObject({
        acrossWidthAdu: adu('Rise from the first column to the last.'),
        acrossHeightAdu: adu('Rise from the first row of the file to its last.'),
        cornerToCornerAdu: adu('Between the darkest corner and the brightest.'),
        cornerToCornerShare: z.number().min(0).nullable().meta({
          description:
            'The same as a share of the background above the offset; null without offset, or where it hardly rises above it.',
        }),
      })
      .nullable()
      .meta({ description: 'A plane through the background; null where the frame is too small for one.' }),
    saturation: z
      .strictObject({
        adu: adu('Level from which a pixel counts as clipped; null where none is known.').nullable(),
        source: z.enum(['given', 'pile-up', 'largest-code', 'unknown']).meta({
          description: 'Given by you, shown by pixels that pile up, or the largest code of the file.',
        }),
      })
      .meta({ description: 'Where the frame clips.' }),
    hotPixels: z
      .strictObject({
        share: share('Share of all pixels that stand out alone, 0 to 1.'),
        thresholdSigma: z.number().meta({ description: 'From how many spreads above the background.' }),
      })
      .meta({ description: 'Pixels far brighter than all their neighbours.' }),
    stars: z
      .strictObject({
        count: wholeCount('Stars found, clipped ones included.'),
        clippedCount: wholeCount('Stars with a clipped pixel; they are not measured.'),
        measuredCount: wholeCount('Stars that width and shape come from.'),
        fwhmPx: z.number().min(0).nullable().meta({
          description: 'Median full width at half maximum; null without stars to measure.',
          'x-unit': 'pix',
        }),
        eccentricity: share('Median eccentricity: 0 round, 0.6 is 5:4; null likewise.').nullable(),
        apertureRadiusPx: z.number().min(0).nullable().meta({
          description: 'Radius of the circle that fluxes are taken in.',
          'x-unit': 'pix',
        }),
        brightest: z.array(FrameStarSchema).meta({ description: 'The brightest that are not clipped.' }),
      })
      .meta({ description: 'The stars.' }),
    conditions: z.array(z.enum(FRAME_CONDITIONS)).meta({
      description: 'What makes figures missing or meaningless: all pixels alike, all clipped, or too few of them.',
    }),
    planes: z.array(FramePlaneSchema).min(1).meta({ description: 'Every colour plane: mono, or red, green and blue.' }),
    frame: z
      .strictObject({
        widthPx: wholeCount('Columns.'),
        heightPx: wholeCount('Rows.'),
        bitsPerSample: z.int().meta({ description: 'BITPIX of the file; negative for floating point.' }),
        color: z.enum(['mono', 'bayer', 'planes']).meta({ description: 'How colours lie in the file.' }),
        bayerPattern: z.enum(BAYER_PATTERN_NAMES).nullable().meta({ description: 'The pattern that was used.' }),
        subSeconds: z.number().nullable().meta({ description: 'Exposure; null where unknown.', 'x-unit': 's' }),
        temperatureCelsius: z.number().nullable().meta({ description: 'Sensor, by the header.', 'x-unit': 'deg_C' }),
      })
      .meta({ description: 'The frame itself.' }),
    sky: z
      .strictObject({ measured: z.strictObject({ backgroundAdu: z.number(), subSeconds: z.number() }) })
      .nullable()
      .meta({
        description:
          'The background as a `sky`, which the other questions take unchanged beside `camera`; null where there is none to send.',
      }),
    camera: z
      .strictObject({ electronsPerAdu: SendableNumberSchema.optional(), offsetAdu: z.number().optional() })
      .meta({ description: 'What of the camera is known and belongs to `sky`; put it into your `camera`.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'FramesAnswer' })

export type FrameParameters = z.infer<typeof FrameParametersSchema>
export type FramesAnswer = z.infer<typeof FramesAnswerSchema>
