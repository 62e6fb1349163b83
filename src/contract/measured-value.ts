import { z } from 'zod'

/** A number that the service derived from measurements, with what is known of its uncertainty. */
export const MeasuredValueSchema = z
  .strictObject({
    value: z.number(),
    standardUncertainty: z.number().min(0).nullable().meta({
      description: 'Standard uncertainty, in the unit of the value; null where the data cannot tell.',
    }),
  })
  .meta({
    id: 'MeasuredValue',
    description: 'A derived number with its standard uncertainty (JCGM 100:2008).',
  })

/** The same number in a request: plain where its uncertainty is unknown. */
export const SendableNumberSchema = z
  .union([z.number(), z.strictObject({ value: z.number(), standardUncertainty: z.number().min(0) })])
  .meta({ description: 'A number, with its standard uncertainty where that is known.' })
