import type { z } from 'zod'
import type { DarkCurrentFitRequestSchema } from '../../contract/dark-current-fit.ts'
import type { Plain } from '../../contract/fields.ts'

export type Request = Plain<z.infer<typeof DarkCurrentFitRequestSchema>>
