import type { Condition, OrderedSubs } from '../../engine/index.ts'
import type { Action } from './action.ts'
import type { MatchingDarks } from './darks.ts'
import type { FilterSolution } from './filter-solution.ts'
import type { Weights } from './progress.ts'
import type { Remaining } from './remaining.ts'
import type { State } from './state.ts'

/** The answer in the engine's terms. */
export interface Solution {
  log: OrderedSubs
  state: State
  filters: FilterSolution[]
  /** The filter of the next sub. */
  next: number
  action: Action
  remaining: Remaining | null
  /** Whether the pace is that of the plan, since the subs tell none yet. */
  isPacePlanned: boolean
  conditions: Condition[]
  darks: MatchingDarks | null
  weights: Weights
  minimumGain: number
  /** End of the last sub; null without one. */
  nowSeconds: number | null
  endSeconds: number | null
}

/** Whether the camera has no cooler to fail, nor a set-point to hold. */
export function isUncooled({ filters, next }: Solution): boolean {
  return filters[next]?.setup.scene.camera.cooled === false
}
