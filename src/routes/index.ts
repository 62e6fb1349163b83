// THE LIST: every endpoint of the service.

import type { Endpoint } from './endpoint.ts'
import { integrationTime } from './integration-time/index.ts'
import { noiseBudget } from './noise-budget/index.ts'
import { bands, constants, lamps, lines, setups, skyClasses } from './reference/index.ts'
import { skyBackground } from './sky-background/index.ts'
import { subExposure } from './sub-exposure/index.ts'

export const endpoints: readonly Endpoint[] = [
  subExposure,
  noiseBudget,
  integrationTime,
  skyBackground,
  bands,
  lines,
  skyClasses,
  lamps,
  setups,
  constants,
]
