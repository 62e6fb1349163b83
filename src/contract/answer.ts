// What every answer carries beside its numbers.

import { z } from 'zod'

const pointer = z.string().meta({ description: 'JSON Pointer (RFC 6901).' })

export const AssumptionSchema = z
  .strictObject({
    pointer: pointer.meta({ description: 'JSON Pointer to where the request could have said otherwise.' }),
    value: z.unknown().meta({ description: 'The value that was used.' }),
    reason: z.string().meta({ description: 'Why this value.' }),
  })
  .meta({ id: 'Assumption', description: 'A value that the request left open.' })

export const UncertaintySchema = z
  .strictObject({
    quantity: pointer.meta({ description: 'JSON Pointer to the number in the answer.' }),
    standardUncertainty: z.number().min(0).meta({ description: 'In the unit of the number.' }),
    contributions: z
      .array(
        z.strictObject({
          input: pointer.meta({ description: 'JSON Pointer to the input in the request.' }),
          share: z.number().min(0).max(1).meta({ description: 'Share of the variance, 0 to 1.' }),
        }),
      )
      .meta({ description: 'Where the uncertainty comes from: the largest share is the input to measure better.' }),
  })
  .meta({ id: 'Uncertainty', description: 'Standard uncertainty of one number of the answer (JCGM 100:2008).' })

export const ModelSchema = z
  .strictObject({
    version: z.string().meta({ description: 'Version of the service.' }),
    sources: z.array(z.string()).meta({ description: 'Where the formulas and tables used come from.' }),
  })
  .meta({ id: 'Model', description: 'What computed this answer.' })

/** The fields that every answer ends with. */
export const commonAnswerFields = {
  explanation: z.array(z.string()).meta({ description: 'The answer in short sentences.' }),
  assumptions: z.array(AssumptionSchema).meta({ description: 'Every default that was used.' }),
  cautions: z.array(z.string()).meta({ description: 'What to mind.' }),
  model: ModelSchema,
  uncertainty: z
    .array(UncertaintySchema)
    .optional()
    .meta({ description: 'Present when the request gave standard uncertainties.' }),
}

export type Assumption = z.infer<typeof AssumptionSchema>
export type Uncertainty = z.infer<typeof UncertaintySchema>
