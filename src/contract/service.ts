// What the service answers about itself.

import { z } from 'zod'

export const HealthSchema = z
  .strictObject({
    status: z.enum(['alive', 'ready', 'draining']).meta({ description: 'draining: about to stop, send nothing new.' }),
  })
  .meta({ id: 'Health', description: 'State of this instance.' })

export const ServiceIndexSchema = z
  .strictObject({
    name: z.string(),
    version: z.string(),
    description: z.string(),
    documentation: z.string().meta({ description: 'Path of the documentation to read and try.' }),
    openapi: z.string().meta({ description: 'Path of the OpenAPI document.' }),
    endpoints: z.array(
      z
        .strictObject({ path: z.string(), methods: z.array(z.string()), summary: z.string() })
        .meta({ id: 'IndexedEndpoint', description: 'One question or table of reference data.' }),
    ),
  })
  .meta({ id: 'ServiceIndex', description: 'What there is here.' })

export const ProblemTypeSchema = z
  .strictObject({
    type: z.string().meta({ description: 'URI reference, as in problem documents.' }),
    title: z.string(),
    status: z.int().min(400).max(599).meta({ description: 'HTTP status.' }),
    meaning: z.string().meta({ description: 'What has happened when a problem is of this type.' }),
    remedy: z.string().meta({ description: 'What to do about it.' }),
  })
  .meta({ id: 'ProblemType', description: 'A kind of problem, explained.' })

export type Health = z.infer<typeof HealthSchema>
export type ServiceIndex = z.infer<typeof ServiceIndexSchema>
export type ProblemType = z.infer<typeof ProblemTypeSchema>
