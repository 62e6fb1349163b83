// What is asked, and the stack that calibration frames are judged by.

import type { z } from 'zod'
import type { CalibrationPlanRequestSchema } from '../../contract/calibration-plan.ts'
import type { Plain } from '../../contract/fields.ts'
import type { ReadMode } from '../../engine/index.ts'
import type { Scene } from '../../setup/scene.ts'

export type Request = Plain<z.infer<typeof CalibrationPlanRequestSchema>>

/** What the frames are judged by. */
export interface Stack {
  scene: Scene
  mode: ReadMode
  subSeconds: number
  subCount: number
  ditherPositions: number
  /** Variance that calibration may add, as a share of the stack's own. */
  varianceShare: number
}

/** A stack as the engine takes it. */
export function engineStack({ scene, mode, subSeconds, subCount, ditherPositions }: Stack) {
  return { rates: scene.plane.rates, readout: mode.readout, subSeconds, subCount, ditherPositions }
}
