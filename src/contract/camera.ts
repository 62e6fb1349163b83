import { z } from 'zod'
import {
  count,
  electronsPerAdu,
  electronsPerPixelSecond,
  fullWellElectrons,
  measured,
  pixelSizeUm,
  quantity,
  readNoiseElectrons,
  temperatureCelsius,
  wavelengthNm,
} from './fields.ts'

const efficiency = measured({
  unit: 'electron/photon',
  minimum: 0.001,
  maximum: 1,
  description: 'Electrons per photon that reaches the sensor, 0.001 to 1.',
  example: 0.8,
})

const share = quantity({ unit: '', minimum: 0, maximum: 1, description: 'Share, 0 to 1.', example: 0.8 })

/** A table over wavelength: ascending, straight lines between its points, nothing beyond its ends. */
export const CurveSchema = z
  .array(z.strictObject({ wavelengthNm, value: share }))
  .min(2)
  .max(1000)
  .meta({
    id: 'Curve',
    description: 'Shares (0 to 1) over wavelength, ascending; straight lines between points, nothing beyond the ends.',
  })

export const ReadModeSchema = z
  .strictObject({
    label: z
      .string()
      .min(1)
      .max(60)
      .meta({ description: 'Your name for the mode.', examples: ['low gain'] }),
    readNoiseElectrons,
    electronsPerAdu,
    fullWellElectrons,
  })
  .meta({ id: 'ReadMode', description: 'One gain setting: what it reads with, and what it holds.' })

export const CAMERA_CLASSES = [
  'unmodified-consumer',
  'modified-consumer',
  'cooled-mono-cmos',
  'cooled-color-cmos',
  'uncooled-mono-cmos',
  'old-cooled-ccd',
] as const

export const CameraSchema = z
  .strictObject({
    like: z
      .enum(CAMERA_CLASSES)
      .optional()
      .meta({
        description:
          'A typical class of camera (`GET /v1/reference/setups`). Its typical values stand in for whatever is not given, and each is listed in `assumptions`.',
        examples: ['cooled-mono-cmos'],
      }),
    pixelSizeUm: pixelSizeUm.optional(),
    widthPx: count({
      minimum: 1,
      maximum: 100000,
      description: 'Pixels across.',
      example: 6248,
    }).optional(),
    heightPx: count({ minimum: 1, maximum: 100000, description: 'Pixels down.', example: 4176 }).optional(),
    color: z.enum(['mono', 'bayer']).optional().meta({
      description: 'Every pixel alike, or a Bayer mosaic (a quarter red, half green, a quarter blue). Default mono.',
    }),
    quantumEfficiency: z.union([efficiency, CurveSchema]).optional().meta({
      description:
        'Electrons per photon: one number for all wavelengths, or a table over wavelength. For a Bayer sensor, of the bare silicon without its dyes.',
    }),
    readNoiseElectrons: readNoiseElectrons.optional(),
    readNoiseIncludesQuantization: z.boolean().optional().meta({
      description:
        'Whether the read noise was measured on frames and so already holds the rounding to whole ADU (default true). With false, (electrons per ADU)²/12 is added.',
    }),
    electronsPerAdu: electronsPerAdu.optional(),
    fullWellElectrons: fullWellElectrons.optional(),
    linearLimitElectrons: fullWellElectrons.optional().meta({
      description: 'Electrons up to which the output is linear, where that is less than the full well.',
      'x-unit': 'electron',
    }),
    bitDepth: count({ minimum: 4, maximum: 32, description: 'Bits of the converter.', example: 16 }).optional(),
    offsetAdu: quantity({
      unit: 'adu',
      minimum: 0,
      maximum: 1e9,
      description: 'Level of a frame without light, in ADU.',
      example: 500,
    }).optional(),
    darkCurrent: z
      .strictObject({
        electronsPerPixelSecond,
        atCelsius: temperatureCelsius,
        doublingCelsius: measured({
          unit: 'K',
          minimum: 2,
          maximum: 30,
          description:
            'Warming that doubles the dark current. Without it the depletion form for silicon (Janesick 2001) is used.',
          example: 6.3,
        }).optional(),
      })
      .optional()
      .meta({ description: 'Dark current of one physical pixel at one temperature.' }),
    temperatureCelsius: temperatureCelsius
      .optional()
      .meta({ description: 'Temperature of the sensor.', 'x-unit': 'deg_C' }),
    cooler: z
      .strictObject({
        reachCelsius: quantity({
          unit: 'K',
          minimum: 0,
          maximum: 120,
          description: 'How far below the air the cooler holds the sensor.',
          example: 35,
        }),
      })
      .optional()
      .meta({ description: 'The cooler, where there is one.' }),
    readModes: z.array(ReadModeSchema).min(1).max(20).optional().meta({
      description: 'Gain settings to choose among; each stands in for the three numbers of the camera itself.',
    }),
    binning: count({
      minimum: 1,
      maximum: 16,
      description: 'Physical pixels on a side of one pixel of the frame. Default 1.',
      example: 1,
    }).optional(),
    binningKind: z.enum(['on-chip', 'software']).optional().meta({
      description:
        'Whether charge is summed before it is read (CCD) or numbers afterwards (CMOS). Default software: every physical pixel is read.',
    }),
    infraredBlocker: z
      .union([z.enum(['none', 'photographic']), CurveSchema])
      .optional()
      .meta({
        description:
          'The filter before the sensor of an unmodified consumer camera (`photographic`: passes about a quarter of H-alpha), none, or a table. Default none.',
      }),
  })
  .meta({
    id: 'Camera',
    description:
      'A camera. Give what you know; `like` fills in the rest. What a question cannot do without is named in its answer.',
  })
