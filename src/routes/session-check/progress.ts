// What each filter has collected, and what it misses.

import {
  informationFor,
  informationOf,
  subsToPlainSum,
  underCeiling,
  type MeasuredYield,
  YieldSum,
} from '../../engine/index.ts'
import type { FilterSetup } from './filter-setup.ts'
import type { KeptSubs } from './judge.ts'
import type { State } from './state.ts'

export interface Progress {
  subCount: number
  integrationSeconds: number
  snr: number | null
  ceilingSnr: number | null
  reached: boolean
  /** Information that the subs must hold for the goal, before the ceiling; null where there is no goal, or it is out of reach. */
  needed: number | null
  /** What they hold of it, and their plain sum. */
  information: number
  held: MeasuredYield
  outOfReach: boolean
}

const NOTHING_KEPT: KeptSubs = { held: new YieldSum(), integrationSeconds: 0 }

export type Weights = 'optimal' | 'equal'

/** Progress of one filter. */
export function progressOf(setup: FilterSetup, filter: number, state: State, weights: Weights): Progress {
  const { held, integrationSeconds } = state.judged.kept[filter] ?? NOTHING_KEPT
  const { count } = held
  const collected = setup.collectedSnr ** 2
  const scale = setup.snrScale ** 2 * setup.efficiencyOf(count)
  const information = held.information(weights) * scale
  const snr = setup.hasTarget ? Math.sqrt(underCeiling(information, setup.ceilingOf(count)) + collected) : null
  // What was collected before has a ceiling of its own, and adds to that of these subs as their ratios add.
  const ceiling = setup.hasTarget ? setup.ceilingOf(Infinity) : null
  const goal = setup.goal?.snr
  const reached = goal !== undefined && snr !== null && snr >= goal
  const needed = goal === undefined ? null : informationFor(Math.sqrt(Math.max(0, goal ** 2 - collected)), ceiling)
  return {
    subCount: count,
    integrationSeconds,
    snr,
    ceilingSnr: ceiling === null ? null : Math.hypot(ceiling, setup.collectedSnr),
    reached,
    needed,
    information,
    held,
    outOfReach: goal !== undefined && !reached && needed === null,
  }
}

/** Subs of a length, as a real number, that bring what is missing at the present rate; null when none do. */
export function subsToGoal(
  setup: FilterSetup,
  filter: number,
  { state, progress, weights, subSeconds }: { state: State; progress: Progress; weights: Weights; subSeconds: number },
): number | null {
  const { needed, information, held, reached } = progress
  if (needed === null) return null
  if (reached || information >= needed) return 0
  const present = state.present[filter]
  const one = setup.yieldOf({
    subSeconds,
    transparency: state.transparency,
    skyElectronsPerSecond: (present?.skyElectronsPerSecond ?? 0) * setup.planeShare,
    darkElectronsPerSecond: state.darkElectronsPerSecond,
  })
  const scale = setup.snrScale ** 2 * setup.efficiencyOf(MANY)
  const subs =
    weights === 'equal'
      ? subsToPlainSum(held, one, needed / scale)
      : (needed - information) / (informationOf(one) * scale)
  return subs <= MOST_SUBS ? subs : null
}

const MANY = 1000
const MOST_SUBS = 1e7
