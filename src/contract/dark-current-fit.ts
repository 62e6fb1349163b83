import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { sensorCelsius } from './dark-current.ts'
import { electronsPerAdu, measured, quantity } from './fields.ts'
import { MeasuredValueSchema, SendableNumberSchema } from './measured-value.ts'

/** The judgement of outliers fits all others again for each rate, so the work grows faster than their square. */
export const MOST_RATES = 40

const DarkRateSchema = z
  .strictObject({
    celsius: sensorCelsius,
    electronsPerPixelSecond: measured({
      unit: 'electron/(pixel.s)',
      minimum: -1e6,
      maximum: 1e6,
      description: 'Dark current measured there; noise may make it negative, and then it takes no part in the fit.',
      example: 0.02,
    }),
  })
  .meta({ id: 'MeasuredDarkRate', description: 'A dark current at a temperature.' })

const DarkSchema = z
  .strictObject({
    celsius: sensorCelsius,
    subSeconds: quantity({
      unit: 's',
      minimum: 0,
      maximum: 86400,
      description: 'Length of the dark; 0 for a bias frame.',
      example: 300,
    }),
    meanElectrons: measured({
      unit: 'electron',
      minimum: -1e8,
      maximum: 1e8,
      description: 'Mean level in electrons, the camera’s offset taken off.',
      example: 6,
    }).optional(),
    meanAdu: measured({
      unit: 'adu',
      minimum: 0,
      maximum: 1e9,
      description: 'Mean level in ADU, offset included. Needs `camera.electronsPerAdu`.',
      example: 512.4,
    }).optional(),
  })
  .meta({
    id: 'MeasuredDark',
    description: 'Mean level of a dark, or of a stack of darks: `meanElectrons` or `meanAdu`.',
  })

export const DarkCurrentFitRequestSchema = z
  .strictObject({
    rates: z.array(DarkRateSchema).min(1).max(MOST_RATES).optional().meta({
      description: 'Dark currents at two or more temperatures. Give standard uncertainties for all, or for none.',
    }),
    darks: z.array(DarkSchema).min(1).max(100).optional().meta({
      description:
        'In place of `rates`: mean levels of darks, at 40 temperatures at most. Two or more lengths at a temperature give its rate without knowing the offset.',
    }),
    camera: z
      .strictObject({
        electronsPerAdu: electronsPerAdu.optional(),
        offsetAdu: quantity({
          unit: 'adu',
          minimum: 0,
          maximum: 1e9,
          description:
            'Level of a frame without light and time; needed where a temperature has darks of one length only.',
          example: 500,
        }).optional(),
      })
      .optional()
      .meta({ description: 'What turns levels in ADU into electrons.' }),
    referenceCelsius: sensorCelsius.optional().meta({
      description: 'Temperature that the results are given for. Default: the middle of those measured.',
      'x-unit': 'deg_C',
      examples: [-10],
    }),
  })
  .meta({ id: 'DarkCurrentFitRequest' })

const pointers = z
  .array(z.string())
  .meta({ description: 'JSON Pointers (RFC 6901) to what the rate was made from in the request.' })

const FittedRateSchema = z
  .strictObject({
    pointers,
    celsius: z.number().meta({ description: 'Temperature of the sensor.' }),
    electronsPerPixelSecond: z.number().meta({ description: 'The rate as measured.' }),
    fittedElectronsPerPixelSecond: z.number().min(0).meta({ description: 'The rate by the fit.' }),
    standardizedResidual: z.number().nullable().meta({
      description: 'Distance from what the others predict, in standard deviations; null with too few others.',
    }),
    isOutlier: z.boolean().meta({ description: 'Whether it lies farther off than chance puts one in 2000.' }),
  })
  .meta({ id: 'FittedDarkRate', description: 'A rate beside the fit.' })

export const DarkCurrentFitAnswerSchema = z
  .strictObject({
    doublingCelsius: MeasuredValueSchema.meta({
      description: 'Warming that doubles the dark current, at the reference temperature.',
    }),
    activationEnergyElectronVolts: MeasuredValueSchema.meta({
      description: 'Activation energy: the slope of the logarithm over inverse temperature.',
    }),
    electronsPerPixelSecond: MeasuredValueSchema.meta({ description: 'Thermal dark current at the reference.' }),
    constantElectronsPerPixelSecond: MeasuredValueSchema.nullable().meta({
      description: 'A rate that does not fall with temperature (glow or a light leak); null where none shows.',
    }),
    referenceCelsius: z.number().meta({ description: 'The reference temperature.' }),
    uncertaintyFrom: z.enum(['given', 'scatter', 'nothing']).meta({
      description: 'Whether the uncertainties come from yours, from the scatter about the fit, or from nothing.',
    }),
    coverageFactor68: z.number().min(0).nullable().meta({
      description: 'Times the standard uncertainty: the half width of a 68 % interval; null without uncertainty.',
    }),
    chiSquare: z.number().min(0).meta({
      description: 'Sum of squared deviations of ln(rate) over their uncertainties; plain squares without them.',
    }),
    degreesOfFreedom: z.int().min(0).meta({ description: 'Rates in the fit less fitted numbers.' }),
    rates: z.array(FittedRateSchema).meta({ description: 'Every rate that took part.' }),
    outliers: pointers.meta({ description: 'JSON Pointers to what does not belong with the rest.' }),
    leftOut: z
      .array(
        z.strictObject({
          pointers,
          celsius: z.number().meta({ description: 'Temperature of the sensor.' }),
          reason: z.string().meta({ description: 'Why it took no part.' }),
        }),
      )
      .meta({ description: 'What took no part in the fit.' }),
    camera: z
      .strictObject({
        darkCurrent: z
          .strictObject({
            electronsPerPixelSecond: SendableNumberSchema,
            atCelsius: z.number(),
            doublingCelsius: SendableNumberSchema.optional(),
          })
          .optional(),
      })
      .meta({ description: 'The result as a part of `camera`, ready for the other questions.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'DarkCurrentFitAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof DarkCurrentFitRequestSchema> }
>

const rate = (celsius: number, value: number, standardUncertainty: number) => ({
  celsius,
  electronsPerPixelSecond: { value, standardUncertainty },
})

export const darkCurrentFitExamples: Examples = {
  'five-temperatures': {
    summary: 'Dark current at five temperatures',
    description: 'Each rate with its standard uncertainty; the answer holds a camera’s dark current ready to send on.',
    request: {
      rates: [
        rate(-20, 0.0021, 0.0002),
        rate(-10, 0.0065, 0.0003),
        rate(0, 0.0178, 0.0006),
        rate(10, 0.0471, 0.0012),
        rate(20, 0.1188, 0.0025),
      ],
      referenceCelsius: -10,
    },
  },
  'darks-in-adu': {
    summary: 'Mean levels of darks in ADU',
    description: 'Two lengths at each of four temperatures, so that the offset drops out.',
    request: {
      darks: [
        { celsius: -10, subSeconds: 60, meanAdu: 501.6 },
        { celsius: -10, subSeconds: 600, meanAdu: 516.1 },
        { celsius: 0, subSeconds: 60, meanAdu: 504.3 },
        { celsius: 0, subSeconds: 600, meanAdu: 542.6 },
        { celsius: 10, subSeconds: 60, meanAdu: 511.2 },
        { celsius: 10, subSeconds: 300, meanAdu: 556.0 },
        { celsius: 20, subSeconds: 60, meanAdu: 528.1 },
        { celsius: 20, subSeconds: 300, meanAdu: 640.3 },
      ],
      camera: { electronsPerAdu: { value: 0.25, standardUncertainty: 0.003 } },
    },
  },
  'glow-in-the-corner': {
    summary: 'A rate that does not fall with temperature',
    description: 'Cold darks stay brighter than they should: glow or a light leak, recognised and taken out.',
    request: {
      rates: [
        rate(-30, 0.0107, 0.0002),
        rate(-20, 0.0121, 0.0002),
        rate(-10, 0.0165, 0.0003),
        rate(0, 0.0278, 0.0005),
        rate(10, 0.0571, 0.001),
        rate(20, 0.1288, 0.002),
      ],
    },
  },
}
