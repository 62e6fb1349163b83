import { z } from 'zod'
import { electronsPerPixelSecond, magPerArcsec2, measured, quantity, starMag, subSeconds } from './fields.ts'

export const LAMPS = [
  'high-pressure-sodium',
  'metal-halide-warm',
  'metal-halide-cold',
  'led-3000k',
  'led-4100k',
  'led-6600k',
] as const

const lampShare = quantity({
  unit: '',
  minimum: 0,
  maximum: 1,
  description: 'Share of the artificial light in V; the shares are scaled to add up to 1.',
  example: 0.3,
}).optional()

const LampsSchema = z
  .strictObject({
    'high-pressure-sodium': lampShare,
    'metal-halide-warm': lampShare,
    'metal-halide-cold': lampShare,
    'led-3000k': lampShare,
    'led-4100k': lampShare,
    'led-6600k': lampShare,
  } satisfies Record<(typeof LAMPS)[number], unknown>)
  .meta({
    id: 'Lamps',
    description:
      'What lights the haze: which lamps, by their share of the artificial light in V. Decides how much of it a narrow filter sees.',
    examples: [{ 'high-pressure-sodium': 0.3, 'led-4100k': 0.7 }],
  })

const MoonSchema = z
  .strictObject({
    phaseAngleDegrees: quantity({
      unit: 'deg',
      minimum: 0,
      maximum: 180,
      description: 'Sun-Moon-Earth angle: 0 full, 90 half, 180 new.',
      example: 90,
    }),
    altitudeDegrees: quantity({
      unit: 'deg',
      minimum: -90,
      maximum: 90,
      description: 'Altitude of the Moon; below the horizon it adds nothing.',
      example: 40,
    }),
    separationDegrees: quantity({
      unit: 'deg',
      minimum: 1,
      maximum: 180,
      description: 'Angle between Moon and target.',
      example: 60,
    }),
  })
  .meta({ id: 'Moon', description: 'The Moon, by the model of Krisciunas & Schaefer 1991.' })

const MeasuredSkySchema = z
  .strictObject({
    backgroundAdu: measured({
      unit: 'adu',
      minimum: 0,
      maximum: 1e9,
      description: 'Median level of a starless patch of a raw sub, offset included.',
      example: 1480,
    }),
    subSeconds,
  })
  .meta({
    id: 'MeasuredSky',
    description:
      'A sky measured on one raw sub of this very set-up and filter. Needs `electronsPerAdu` and `offsetAdu` of the camera.',
  })

/** The five ways to give a sky; exactly one of them. */
export const SKY_FORMS = [
  'magPerArcsec2',
  'bortleClass',
  'nakedEyeLimitMag',
  'electronsPerPixelSecond',
  'measured',
] as const

export const SkySchema = z
  .strictObject({
    magPerArcsec2: magPerArcsec2.optional().meta({
      description: 'Brightness of the moonless sky at the zenith in V, as a sky meter or a map gives it.',
      'x-unit': 'mag/arcsec**2',
      examples: [20.6],
    }),
    bortleClass: z
      .int()
      .min(1)
      .max(9)
      .optional()
      .meta({
        description:
          'Class of the sky, 1 (darkest) to 9 (Bortle 2001). Differs between observers by several tenths of a magnitude.',
        'x-unit': 'count',
        examples: [5],
      }),
    nakedEyeLimitMag: measured({
      unit: 'mag',
      minimum: 0,
      maximum: 9,
      description: 'Faintest star seen at the zenith without the Moon; turned into a brightness after Schaefer 1990.',
      example: 5.2,
    }).optional(),
    electronsPerPixelSecond: electronsPerPixelSecond.optional().meta({
      description: 'Electrons of sky per second on one pixel of the frame, through this very filter.',
      'x-unit': 'electron/(pixel.s)',
      examples: [0.9],
    }),
    measured: MeasuredSkySchema.optional(),
    lamps: LampsSchema.optional(),
    moon: MoonSchema.optional(),
    targetAltitudeDegrees: quantity({
      unit: 'deg',
      minimum: 1,
      maximum: 90,
      description:
        'Altitude of the target: dims it by extinction and brightens the natural sky around it. Default 90, the zenith.',
      example: 60,
    }).optional(),
    extinctionMagPerAirmass: measured({
      unit: 'mag',
      minimum: 0,
      maximum: 3,
      description:
        'Extinction at V per airmass; other wavelengths follow the shape of Hayes & Latham 1975. Default 0.28, sea level (Green 1992).',
      example: 0.25,
    }).optional(),
  })
  .meta({
    id: 'Sky',
    description: `The sky, in exactly one of five forms: ${SKY_FORMS.map((form) => `\`${form}\``).join(', ')}.`,
    examples: [{ bortleClass: 5 }],
  })

export const TARGET_LINES = ['h-alpha', 'h-beta', 'o-iii', 's-ii', 'n-ii'] as const

export const TargetSchema = z
  .strictObject({
    surfaceMagPerArcsec2: magPerArcsec2.optional().meta({
      description: 'Brightness of an extended target above the atmosphere, in V; coloured like the Sun.',
      'x-unit': 'mag/arcsec**2',
      examples: [22.5],
    }),
    line: z.enum(TARGET_LINES).optional().meta({ description: 'Emission line the target shines in.' }),
    rayleighs: measured({
      unit: 'R',
      minimum: 0,
      maximum: 1e7,
      description: 'Brightness in that line above the atmosphere; 1 R is 10¹⁰/4π photons s⁻¹ m⁻² sr⁻¹.',
      example: 50,
    }).optional(),
    electronsPerPixelSecond: electronsPerPixelSecond.optional().meta({
      description: 'Electrons of an extended target per second on one pixel of the frame, as measured.',
      'x-unit': 'electron/(pixel.s)',
      examples: [0.05],
    }),
    starMag: starMag.optional(),
    starElectronsPerSecond: measured({
      unit: 'electron/s',
      minimum: 0,
      maximum: 1e12,
      description:
        'All electrons of a star per second, as measured; on a mosaic as if every pixel saw the colour of the plane.',
      example: 4200,
    }).optional(),
  })
  .meta({
    id: 'Target',
    description:
      'What is imaged: an extended part (`surfaceMagPerArcsec2`, or `line` with `rayleighs`, or `electronsPerPixelSecond`), a star (`starMag` or `starElectronsPerSecond`), or both.',
    examples: [{ line: 'h-alpha', rayleighs: 50 }],
  })
