// THE LIST: every endpoint of the service.

import { batch } from './batch/index.ts'
import { comparison } from './comparison/index.ts'
import type { Endpoint } from './endpoint.ts'
import { calibrationPlan } from './calibration-plan/index.ts'
import { darkCurrentFit } from './dark-current-fit/index.ts'
import { darkCurrent } from './dark-current/index.ts'
import { frames } from './frames/index.ts'
import { integrationTime } from './integration-time/index.ts'
import { noiseBudget } from './noise-budget/index.ts'
import { photonTransfer } from './photon-transfer/index.ts'
import { bands, constants, lamps, lines, setups, skyClasses } from './reference/index.ts'
import { sessionAccount } from './session-account/index.ts'
import { sessionCheck } from './session-check/index.ts'
import { skyBackground } from './sky-background/index.ts'
import { subExposure } from './sub-exposure/index.ts'
import { upgrades } from './upgrades/index.ts'

export const endpoints: readonly Endpoint[] = [
  subExposure,
  noiseBudget,
  integrationTime,
  skyBackground,
  comparison,
  upgrades,
  darkCurrent,
  darkCurrentFit,
  calibrationPlan,
  photonTransfer,
  frames,
  sessionCheck,
  sessionAccount,
  batch,
  bands,
  lines,
  skyClasses,
  lamps,
  setups,
  constants,
]
