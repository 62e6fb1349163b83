import type { z } from 'zod'
import type { DarkCurrentRequestSchema } from '../../contract/dark-current.ts'
import type { Plain } from '../../contract/fields.ts'

export type Request = Plain<z.infer<typeof DarkCurrentRequestSchema>>
