import { z } from 'zod'
import { measured, quantity, transmission } from './fields.ts'

export const OPTICS_CLASSES = ['camera-lens', 'small-refractor', 'large-refractor', 'newtonian', 'compound'] as const

export const OpticsSchema = z
  .strictObject({
    like: z
      .enum(OPTICS_CLASSES)
      .optional()
      .meta({
        description:
          'A typical class of optics (`GET /v1/reference/setups`), whose typical values stand in for whatever is not given.',
        examples: ['small-refractor'],
      }),
    apertureMm: quantity({
      unit: 'mm',
      minimum: 1,
      maximum: 12000,
      description: 'Clear diameter of the optics.',
      example: 80,
    }).optional(),
    focalLengthMm: quantity({
      unit: 'mm',
      minimum: 1,
      maximum: 100000,
      description: 'Focal length with whatever reducer or extender is in place.',
      example: 480,
    }).optional(),
    obstructionMm: quantity({
      unit: 'mm',
      minimum: 0,
      maximum: 12000,
      description: 'Diameter of the central obstruction; smaller than the aperture. Default 0.',
      example: 0,
    }).optional(),
    transmission: transmission.optional().meta({
      description: 'Share of the light that all mirrors and lenses pass, 0.001 to 1.',
      'x-unit': '',
      examples: [0.92],
    }),
  })
  .meta({ id: 'Optics', description: 'A telescope or lens.' })

export const BANDS = [
  'none',
  'luminance',
  'red',
  'green',
  'blue',
  'h-alpha',
  'h-beta',
  'o-iii',
  's-ii',
  'dual-narrowband',
] as const

const widthNm = quantity({
  unit: 'nm',
  minimum: 0.1,
  maximum: 1000,
  description: 'Full width of the passband.',
  example: 7,
})

export const FilterSchema = z
  .union([
    z
      .strictObject({
        band: z.enum(BANDS).meta({
          description: 'A usual band (`GET /v1/reference/bands`). `none` is clear glass or no filter at all.',
          examples: ['h-alpha'],
        }),
        widthNm: quantity({
          unit: 'nm',
          minimum: 0.1,
          maximum: 100,
          description: 'Full width, for the emission-line bands; default 7 nm. Of each band, for `dual-narrowband`.',
          example: 7,
        }).optional(),
      })
      .meta({ id: 'NamedFilter', description: 'A filter of a usual band.' }),
    z
      .strictObject({
        centerNm: quantity({
          unit: 'nm',
          minimum: 300,
          maximum: 1100,
          description: 'Centre of the passband.',
          example: 656.3,
        }),
        widthNm,
        transmission,
      })
      .meta({ id: 'BoxFilter', description: 'A filter that passes evenly between two sharp edges.' }),
    z
      .strictObject({
        curve: z
          .array(
            z.strictObject({
              wavelengthNm: quantity({
                unit: 'nm',
                minimum: 200,
                maximum: 1200,
                description: 'Wavelength in air.',
                example: 656.3,
              }),
              transmission: quantity({
                unit: '',
                minimum: 0,
                maximum: 1,
                description: 'Share of the light that passes, 0 to 1.',
                example: 0.9,
              }),
            }),
          )
          .min(2)
          .max(1000)
          .meta({ description: 'Ascending wavelengths; straight lines between points, nothing beyond the ends.' }),
      })
      .meta({ id: 'CurveFilter', description: 'A filter by its measured curve.' }),
  ])
  .meta({
    id: 'Filter',
    description: 'The filter in the light path: a usual band, a box, or a curve. Default: none.',
    examples: [{ band: 'h-alpha', widthNm: 7 }],
  })

export const starFwhmArcsec = measured({
  unit: 'arcsec',
  minimum: 0.1,
  maximum: 60,
  description: 'Full width at half maximum of a star in a sub.',
  example: 3,
})
