import type { FilterSetup } from './filter-setup.ts'
import type { Advice } from './length.ts'
import type { Progress } from './progress.ts'

/** One filter: what it has, and what it should do next. */
export interface FilterSolution {
  setup: FilterSetup
  progress: Progress
  length: Advice
  /** Subs to the goal as a real number; null without a goal, or out of reach. */
  subsToGoal: number | null
}
