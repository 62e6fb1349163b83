import { z } from 'zod'
import { count, measured, quantity, seconds, starMag, subSeconds } from './fields.ts'
import { starFwhmArcsec } from './optics.ts'

const frames = (description: string, example: number) =>
  count({ minimum: 1, maximum: 1e6, description, example }).optional()

export const CalibrationSchema = z
  .strictObject({
    darkFrames: frames('Darks averaged into the master dark.', 30),
    flatFrames: frames('Flats averaged into the master flat; counts together with `flatElectrons`.', 30),
    flatElectrons: quantity({
      unit: 'electron',
      minimum: 1,
      maximum: 1e8,
      description: 'Mean level of one flat, electrons per pixel.',
      example: 25000,
    }).optional(),
    biasFrames: frames('Bias frames averaged; they count where no darks are taken.', 50),
    ditherPositions: frames(
      'Independent pointings the subs are spread over. Without dither (1, the default) every sub carries the same calibration error.',
      20,
    ),
  })
  .meta({
    id: 'Calibration',
    description: 'The frames behind the calibration. A kind that is not mentioned is taken as free of noise.',
  })

export const TrackingSchema = z
  .strictObject({
    mount: z.enum(['undriven', 'alt-azimuth']).meta({
      description: 'A fixed tripod under a turning sky, or a driven alt-azimuth mount under which the field rotates.',
    }),
    declinationDegrees: quantity({
      unit: 'deg',
      minimum: -90,
      maximum: 90,
      description: 'Declination of the target; for an undriven mount.',
      example: 41,
    }).optional(),
    latitudeDegrees: quantity({
      unit: 'deg',
      minimum: -90,
      maximum: 90,
      description: 'Latitude of the site; for an alt-azimuth mount.',
      example: 50,
    }).optional(),
    azimuthDegrees: quantity({
      unit: 'deg',
      minimum: 0,
      maximum: 360,
      description: 'Azimuth of the target from north through east; for an alt-azimuth mount.',
      example: 130,
    }).optional(),
    allowedTrailPx: quantity({
      unit: 'pixel',
      minimum: 0.1,
      maximum: 100,
      description: 'Trail that still passes, pixels of the frame. Default 1.',
      example: 1,
    }).optional(),
  })
  .meta({
    id: 'Tracking',
    description:
      'A mount whose motion bounds the sub. A driven equatorial mount needs none of this: give `longestTrackedSeconds`.',
  })

export const PlanSchema = z
  .strictObject({
    availableSeconds: quantity({
      unit: 's',
      minimum: 1,
      maximum: 1e9,
      description: 'Clock time there is, dead time included. Default 14400, four hours.',
      example: 14400,
    }).optional(),
    subSeconds: subSeconds.optional(),
    subCount: count({ minimum: 1, maximum: 1e9, description: 'Number of subs kept.', example: 60 }).optional(),
    overheadSeconds: measured({
      unit: 's',
      minimum: 0,
      maximum: 3600,
      description: 'Dead time after each sub: download, settling after dither, focus checks spread out. Default 5.',
      example: 8,
    }).optional(),
    interruptionsPerHour: measured({
      unit: 'h**-1',
      minimum: 0,
      maximum: 3600,
      description: 'How often something spoils the sub in hand: cloud, stray light, guiding. Default 1.',
      example: 1,
    }).optional(),
    interruptionCost: z.enum(['found-afterwards', 'aborted-at-once']).optional().meta({
      description: 'Whether a spoiled sub is only found out afterwards (default) or is aborted and restarted at once.',
    }),
    longestTrackedSeconds: quantity({
      unit: 's',
      minimum: 0.001,
      maximum: 86400,
      description: 'Longest sub the mount keeps stars round in.',
      example: 300,
    }).optional(),
    tracking: TrackingSchema.optional(),
    longestSubSeconds: quantity({
      unit: 's',
      minimum: 0.001,
      maximum: 86400,
      description: 'Your own longest sub, for whatever reason.',
      example: 600,
    }).optional(),
    readNoiseTolerance: quantity({
      unit: '',
      minimum: 0.001,
      maximum: 10,
      description: 'By what share read noise may raise the noise of the background. Default 0.05.',
      example: 0.05,
    }).optional(),
    subLadderSeconds: z
      .array(subSeconds)
      .min(1)
      .max(100)
      .optional()
      .meta({
        description: 'The lengths for which matching darks exist; the advice is then one of these.',
        'x-unit': 's',
        examples: [[30, 60, 120, 300]],
      }),
    unclippedStarMag: starMag.optional().meta({
      description: 'V magnitude of the brightest star that must not clip.',
      'x-unit': 'mag',
      examples: [8],
    }),
    fwhmArcsec: starFwhmArcsec.optional().meta({
      description: 'Full width at half maximum of a star in a sub. Default 3.',
      'x-unit': 'arcsec',
      examples: [3],
    }),
    moffatBeta: quantity({
      unit: '',
      minimum: 1.5,
      maximum: 20,
      description: 'Stars follow a Moffat profile of this exponent. Without it they are Gaussian.',
      example: 3,
    }).optional(),
    apertureRadiusArcsec: quantity({
      unit: 'arcsec',
      minimum: 0.05,
      maximum: 600,
      description: 'Radius in which a star is measured. Default: the one of best signal-to-noise ratio.',
      example: 4,
    }).optional(),
    backgroundPixels: count({
      minimum: 1,
      maximum: 1e9,
      description: 'Pixels the background of a star is estimated from. Default: so many that they add no noise.',
      example: 300,
    }).optional(),
    combine: z.enum(['mean', 'clipped-mean', 'median']).optional().meta({
      description: 'How the subs are stacked. Default mean; the clipped mean rejects beyond 3 standard deviations.',
    }),
    calibration: CalibrationSchema.optional(),
  })
  .meta({ id: 'Plan', description: 'How the session runs. Every default used is listed in `assumptions`.' })

export const GoalSchema = z
  .strictObject({
    snr: quantity({
      unit: '',
      minimum: 0.001,
      maximum: 1e6,
      description: 'The signal-to-noise ratio to reach.',
      example: 20,
    }),
    per: z.enum(['pixel', 'arcsec2', 'star']).meta({
      description: 'Of one pixel of the stack, of one square arcsecond of the target, or of the star.',
    }),
  })
  .meta({ id: 'Goal', description: 'A signal-to-noise ratio to reach.' })

export const clockSeconds = seconds.meta({
  description: 'Time on the clock, with dead time and the subs that are lost on average.',
  'x-unit': 's',
  examples: [9000],
})
