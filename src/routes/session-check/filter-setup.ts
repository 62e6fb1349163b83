// One filter of the session in the engine's terms: what the plan expects, and what its subs are judged by.

import { ProblemError } from '../../contract/problem.ts'
import { efficiency, type Losses, type ReadMode, type SubAdviceInput } from '../../engine/index.ts'
import { adviceInput, planLength } from '../../setup/exposure.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveLosses, resolveStacking, type PlanRequest } from '../../setup/plan.ts'
import { hasExtended, hasStar, resolveScene, type Scene } from '../../setup/scene.ts'
import { spokenSeconds } from '../../setup/words.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import type { FilterWithSky } from './measured-sky.ts'
import { planeShare } from './plane-share.ts'
import type { Goal } from './request.ts'
import { termsOf, type Terms } from './terms.ts'

export interface FilterSetup extends Terms {
  label: string | null
  scene: Scene
  plan: PlanRequest
  losses: Losses
  mode: ReadMode
  /** The planned length. */
  planSeconds: number
  advice: SubAdviceInput
  goal: Goal | undefined
  collectedSnr: number
  /** Sky of the plane that the answer goes by over that of the frame's median. */
  planeShare: number
  hasTarget: boolean
  /** Efficiency of the way subs are combined. */
  efficiencyOf: (count: number) => number
}

/** Sets up every filter; problems of all of them are named at once, by pointers into the request. */
export function filterSetups(
  filters: readonly FilterWithSky[],
  overheadSeconds: number | null,
  notes: Notes,
): FilterSetup[] {
  const setups: FilterSetup[] = []
  for (const filter of filters) {
    const own = new Notes()
    try {
      setups.push(filterSetup(filter, overheadSeconds, own))
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error
      for (const { pointer, message } of error.errors) {
        if (error.kind === 'invalid-request') notes.broken(filter.pointerOf(pointer), message)
        else notes.contradictory(filter.pointerOf(pointer), message)
      }
    }
    takeOver(own, filter, notes)
  }
  return setups
}

function takeOver(own: Notes, { pointerOf }: FilterWithSky, notes: Notes): void {
  const told = new Set(notes.assumptions.map(({ pointer }) => pointer))
  for (const { pointer, value, reason } of own.assumptions) {
    const mine = pointerOf(pointer)
    if (told.has(mine)) continue
    told.add(mine)
    notes.assume(mine, value, reason)
  }
  for (const caution of own.cautions) notes.caution(caution)
  notes.cite(...own.sources)
}

function filterSetup(filter: FilterWithSky, overheadSeconds: number | null, notes: Notes): FilterSetup {
  const { scene: request, goal } = filter
  const plan = withLosses(filter.plan, overheadSeconds, notes)
  const per = goal?.per ?? (hasExtended(request.target) || !hasStar(request.target) ? 'pixel' : 'star')
  const scene = resolveScene(
    request,
    { scale: scaleReason(per, hasStar(request.target)), unclippedStarMag: plan.unclippedStarMag },
    notes,
  )
  const { combine, calibration } = resolveStacking(plan, notes)
  notes.settle()
  const losses = resolveLosses(plan, notes)
  const advice = adviceInput(scene, plan, losses, notes)
  checkLadder(advice, filter.ladderPointer, notes)
  notes.settle()
  const { subSeconds: planSeconds, mode } = planLength(scene, plan, losses, notes)
  const terms = termsOf({ scene, plan, planSeconds, mode, calibration, combine, per, notes })
  notes.settle()
  return {
    label: filter.label,
    scene,
    plan,
    losses,
    mode,
    planSeconds,
    advice,
    goal,
    collectedSnr: filter.collectedSnr,
    planeShare: planeShare(scene, notes),
    hasTarget: request.target !== undefined,
    efficiencyOf: (count) => efficiency({ combine, count: Math.max(1, count) }),
    ...terms,
  }
}

/** A ladder whose every length the mount or the plan forbids would be waited for without end. */
function checkLadder({ ladderSeconds, trackedSeconds, longestSeconds }: SubAdviceInput, pointer: string, notes: Notes) {
  const shortest = Math.min(...(ladderSeconds ?? [0]))
  const [tracked, longest] = [trackedSeconds ?? Infinity, longestSeconds ?? Infinity]
  if (shortest <= Math.min(tracked, longest)) return
  const allowed =
    tracked < longest ? `${spokenSeconds(tracked)} that the mount tracks` : `${longest} s of longestSubSeconds`
  notes.contradictory(pointer, `the shortest, ${shortest} s, is longer than the ${allowed}`)
}

/**
 * Interruptions an hour where the plan names none: fewer than other questions take, since the subs that something came over
 * are judged one by one and count by what they are worth. Common practice, no source.
 */
const INTERRUPTIONS_PER_HOUR = 0.25

function withLosses(plan: PlanRequest, usualGapSeconds: number | null, notes: Notes): PlanRequest {
  const { overheadSeconds = gap(usualGapSeconds, notes) } = plan
  const { interruptionsPerHour = few(notes) } = plan
  return { ...plan, interruptionsPerHour, ...(overheadSeconds !== undefined && { overheadSeconds }) }
}

function gap(usualGapSeconds: number | null, notes: Notes): number | undefined {
  if (usualGapSeconds === null) return undefined
  return notes.assume('/plan/overheadSeconds', usualGapSeconds, 'not given: the usual gap between your subs')
}

function few(notes: Notes): number {
  const reason = `not given: few, since disturbed subs are judged one by one (${COMMON_PRACTICE})`
  return notes.assume('/plan/interruptionsPerHour', INTERRUPTIONS_PER_HOUR, reason)
}

function scaleReason(per: Goal['per'], star: boolean): string | null {
  if (per === 'star' || star) return 'needed for the size of a star in pixels'
  return per === 'pixel' ? null : 'needed to turn pixels into angles on the sky'
}
