// The filters of a request made ready for their subs.

import {
  efficiency,
  type AccountModel,
  type AccountSub,
  type Combine,
  type Losses,
  type ReadMode,
} from '../../engine/index.ts'
import { orPointed, type Bench } from '../../setup/comparison-bench.ts'
import { planLength } from '../../setup/exposure.ts'
import { checkGoal, perArcsec2 } from '../../setup/goal.ts'
import type { Notes } from '../../setup/notes.ts'
import { resolveLosses, resolveStacking, type PlanRequest } from '../../setup/plan.ts'
import { hasExtended, hasStar, resolveScene, type Scene } from '../../setup/scene.ts'
import type { FilterRequest, GoalRequest, Request } from './filter-requests.ts'
import { mastersOf } from './masters.ts'
import { measuredPixel, measuredStar, type FilterLog } from './measured.ts'

/** A filter ready to account its subs. */
export interface FilterSetup {
  name: string
  scene: Scene
  goal: GoalRequest | undefined
  per: GoalRequest['per']
  /** Signal-to-noise ratio in that unit over that of the model. */
  scale: number
  losses: Losses
  combine: Combine
  model: AccountModel
  /** A sub under reference conditions. */
  reference: AccountSub
  referenceSnr: number
  masterOf: (subSeconds: number) => number
  /** Share of the star captured at a width; 1 for an extended target. */
  capturedAt: (fwhmArcsec: number) => number
  fwhmArcsec: number
  /** Kept where an uncertain input is varied. */
  apertureRadiusArcsec: number | undefined
}

/** A filter of a request made ready for its subs. Throws a ProblemError that names every field in the way. */
export function resolveFilterSetup(
  request: Request,
  it: FilterRequest,
  log: FilterLog,
  apertureRadiusArcsec: number | undefined,
  bench: Bench,
): FilterSetup {
  return bench.within(it.places, (notes) => orPointed({ ...request, ...it }, () => resolve(notes)))

  function resolve(notes: Notes): FilterSetup {
    const plan: PlanRequest = {
      ...request.plan,
      ...(apertureRadiusArcsec !== undefined && { apertureRadiusArcsec }),
    }
    const { target, goal } = it
    if (goal !== undefined && target !== undefined) {
      checkGoal(goal, target, `${it.goalPointer}/per`, bench.notes)
      bench.notes.settle()
    }
    const star = goal === undefined ? !hasExtended(target) && hasStar(target) : goal.per === 'star'
    const scale = goal?.per === 'arcsec2' ? 'needed to turn pixels into angles on the sky' : null
    const needs = {
      scale: hasStar(target) ? 'needed for the size of a star in pixels' : scale,
      unclippedStarMag: undefined,
    }
    const { camera, optics } = request
    const scene = resolveScene({ camera, optics, filter: it.filter, sky: it.sky, target }, needs, notes)
    if (scene.camera.modes.length > 1) {
      notes.broken('/camera/readModes', 'the log was taken in one of them; give that one alone')
    }
    const { calibration, combine } = resolveStacking(plan, notes)
    notes.settle()
    const losses = resolveLosses(plan, notes)
    const { subSeconds, mode } = referenceLength(scene, plan, losses, log, it, notes)
    const kept = efficiency({ combine, count: Math.max(1, log.acceptedCount) })
    const measured = { scene, plan, subSeconds, mode, calibration, efficiency: kept, notes }
    const thing = star ? measuredStar(measured) : measuredPixel(measured)
    return {
      name: it.name,
      scene,
      goal,
      losses,
      combine,
      ...thing,
      ...unitOf(goal, scene, star),
      ...mastersOf(measured, thing, log),
    }
  }
}

function referenceLength(
  scene: Scene,
  plan: PlanRequest,
  losses: Losses,
  { usualSeconds }: FilterLog,
  { name }: FilterRequest,
  notes: Notes,
): { subSeconds: number; mode: ReadMode } {
  const [mode] = scene.camera.modes
  const subSeconds = plan.subSeconds ?? usualSeconds
  if (mode === undefined || subSeconds === null) return planLength(scene, plan, losses, notes)
  if (plan.subSeconds !== undefined) return { subSeconds, mode }
  notes.assume('/plan/subSeconds', subSeconds, `not given: the middle one of the lengths in ${name}`)
  return { subSeconds, mode }
}

function unitOf(goal: GoalRequest | undefined, scene: Scene, star: boolean) {
  const per: GoalRequest['per'] = goal?.per ?? (star ? 'star' : 'pixel')
  return { per, scale: per === 'arcsec2' ? (perArcsec2(scene) ?? 1) : 1 }
}
