// One sub of a session, as a script beside the camera writes it down.

import { z } from 'zod'
import { quantity, subSeconds } from './fields.ts'

/** A time of the session. */
export const sessionTime = (description: string) =>
  z.iso.datetime().meta({ description, examples: ['2026-11-14T21:03:20Z'] })

export const filterLabel = z
  .string()
  .min(1)
  .max(60)
  .meta({ description: 'Your name for a filter; the same wherever it is meant.', examples: ['H-alpha'] })

export const sensorCelsius = quantity({
  unit: 'deg_C',
  minimum: -150,
  maximum: 80,
  description: 'Temperature of the sensor.',
  example: -10,
})

const clippedShare = quantity({
  unit: '',
  minimum: 0,
  maximum: 1,
  description: 'Share of the pixels at the top of the scale, 0 to 1.',
  example: 0.0004,
})

const backgroundAdu = quantity({
  unit: 'adu',
  minimum: 0,
  maximum: 1e9,
  description: 'Median of the raw frame, offset included. Needs `electronsPerAdu` and `offsetAdu` of the camera.',
  example: 1480,
})

const UNUSED = 'Accepted as it comes, not used.'

const electronsOfFrame = (unit: string, example: number) =>
  quantity({ unit, minimum: -1e9, maximum: 1e9, description: UNUSED, example }).nullable().optional()

const FrameFiguresSchema = z
  .strictObject({
    background: z
      .strictObject({
        adu: backgroundAdu.meta({ description: 'Level of the sky, offset included.' }),
        electronsPerPixelSecond: electronsOfFrame('electron/(pixel.s)', 0.12),
      })
      .meta({ description: 'What the sky puts on a pixel.' }),
    noise: z
      .strictObject({
        adu: quantity({ unit: 'adu', minimum: 0, maximum: 1e9, description: UNUSED, example: 19 }),
        electrons: electronsOfFrame('electron', 4.8),
      })
      .optional()
      .meta({ description: `What a background pixel scatters. ${UNUSED}` }),
    clippedShare: clippedShare.nullable().optional(),
  })
  .meta({
    id: 'FrameFigures',
    description:
      'Statistics of a frame: `background`, `noise` and `clippedShare` of an answer of `/v1/frames`, unchanged.',
  })

export const SessionSubSchema = z
  .strictObject({
    startedAt: sessionTime('When the exposure began, ISO 8601 in UTC.'),
    subSeconds,
    filter: filterLabel.optional().meta({
      description: 'Label of its filter; needed where `filters` lists several.',
      examples: ['H-alpha'],
    }),
    backgroundAdu: backgroundAdu.optional(),
    frame: FrameFiguresSchema.optional().meta({
      description: 'In place of `backgroundAdu` and `clippedShare`: the statistics of the frame.',
    }),
    backgroundElectronsPerPixelSecond: quantity({
      unit: 'electron/(pixel.s)',
      minimum: 0,
      maximum: 1e9,
      description: 'In place of `backgroundAdu`: all that arrives on the background, sky and dark current.',
      example: 0.9,
    }).optional(),
    sensorCelsius: sensorCelsius.optional(),
    relativeStarFlux: quantity({
      unit: '',
      minimum: 0,
      maximum: 100,
      description: 'Light of the stars against the reference sub, per second of exposure; 1 = as bright.',
      example: 0.98,
    }).optional(),
    relativeFwhm: quantity({
      unit: '',
      minimum: 0.01,
      maximum: 100,
      description: 'Width of the stars against the reference sub; 1 = as wide.',
      example: 1.05,
    }).optional(),
    fwhmArcsec: quantity({
      unit: 'arcsec',
      minimum: 0.1,
      maximum: 60,
      description: 'In place of `relativeFwhm`: full width at half maximum of the stars.',
      example: 3.1,
    }).optional(),
    guidingErrorArcsec: quantity({
      unit: 'arcsec',
      minimum: 0,
      maximum: 3600,
      description: 'Guiding error during the sub, RMS.',
      example: 0.7,
    }).optional(),
    clippedShare: clippedShare.optional(),
    accepted: z.boolean().optional().meta({
      description:
        'Whether you kept it. Default true. A rejected sub adds nothing to the stack but still tells of the sky.',
    }),
  })
  .meta({
    id: 'SessionSub',
    description: 'One sub as it was taken. Give what you measured; only time and length are needed.',
  })
