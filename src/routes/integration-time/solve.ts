// From a plain request to the least number of subs that reaches the goal.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { IntegrationTimeRequestSchema } from '../../contract/integration-time.ts'
import {
  calibrationRepeats,
  ceilingSnr,
  EngineError,
  leastSubCount,
  realSubCount,
  stackBudget,
  starCeilingSnr,
  starStackBudget,
  type Calibration,
  type Combine,
  type Losses,
  type NoiseBudget,
} from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { cautionStar, clockPerKeptSub, measureStar, planLength, refuseFullWell } from '../../setup/exposure.ts'
import { checkGoal, perArcsec2 } from '../../setup/goal.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveLosses, resolveStacking } from '../../setup/plan.ts'
import { hasStar, resolveScene, type Scene } from '../../setup/scene.ts'

export type Request = Plain<z.infer<typeof IntegrationTimeRequestSchema>>

export interface Solution {
  scene: Scene
  losses: Losses
  subSeconds: number
  subCount: number | null
  ceilingSnr: number | null
  reachedSnr: number | null
  /** The same number of subs before it was made whole; null where the goal is out of reach. */
  realCount: number | null
  apertureRadiusArcsec: number | undefined
}

/** The least number of subs for a request, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const plan = request.plan ?? {}
  const { goal, target } = request
  checkGoal(request.goal, request.target, '/goal/per', notes)
  const needs = {
    scale: goal.per === 'pixel' ? null : 'needed to turn pixels into angles on the sky',
    unclippedStarMag: undefined,
  }
  const scene = resolveScene(
    request,
    { ...needs, scale: hasStar(target) ? 'needed for the size of a star in pixels' : needs.scale },
    notes,
  )
  const stacking = resolveStacking(plan, notes)
  notes.settle()
  const losses = resolveLosses(plan, notes)
  const { subSeconds, mode } = planLength(scene, plan, losses, notes)
  notes.settle()
  refuseFullWell(scene.plane.rates, mode, subSeconds)
  const star =
    goal.per === 'star'
      ? measureStar({ scene, plan, subSeconds, mode, calibration: stacking.calibration, notes })
      : null
  cautionStar(star, notes)
  const input = { rates: scene.plane.rates, readout: mode.readout, subSeconds, ...stacking }
  const scale = goal.per === 'arcsec2' ? (perArcsec2(scene) ?? 1) : 1
  const budget = (subCount: number) =>
    star === null ? stackBudget({ subCount, ...input }) : starStackBudget({ subCount, ...star.input, ...stacking })
  const limit = star === null ? ceilingSnr(input) : starCeilingSnr(star.input)
  const ceiling = limit === null ? null : limit * scale
  if (budget(1).signalElectrons === 0) {
    throw new EngineError(
      'no-signal',
      'The target puts no electrons on the pixels asked about, so no time reaches the goal.',
      { field: 'target' },
    )
  }
  const subCount = least((count) => budget(count).snr * scale, goal.snr, ceiling)
  notes.cite('Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation')
  cautionSetup(scene, notes)
  return {
    scene,
    losses,
    subSeconds,
    subCount,
    ceilingSnr: ceiling,
    reachedSnr: subCount === null ? null : budget(subCount).snr * scale,
    realCount: subCount === null ? null : realCountOf(budget(subCount), subCount, stacking, goal.snr / scale),
    apertureRadiusArcsec: star?.apertureRadiusArcsec,
  }
}

function least(snrOf: (count: number) => number, snr: number, ceiling: number | null): number | null {
  try {
    return leastSubCount(snrOf, snr, ceiling)
  } catch (error) {
    if (error instanceof EngineError && error.code === 'goal-above-ceiling') return null
    throw error
  }
}

/** The real number of subs about a whole one, from the budget of that stack. */
function realCountOf(
  budget: NoiseBudget,
  subCount: number,
  { calibration, combine }: { calibration: Calibration; combine: Combine },
  snr: number,
): number | null {
  const variance = budget.noiseElectrons ** 2
  const calibrationShare = budget.shares.calibration
  return realSubCount({
    signalElectrons: budget.signalElectrons / subCount,
    variance: (variance * (1 - calibrationShare)) / subCount,
    calibrationVariance: (variance * calibrationShare) / calibrationRepeats(subCount, calibration, combine),
    ditherPositions: calibration.ditherPositions ?? 1,
    snr,
  })
}

/** The headline numbers with length and aperture kept, and the number of subs as a real one. */
export function quantities(request: Request, base: Solution): Quantities {
  const plan = {
    ...request.plan,
    subSeconds: base.subSeconds,
    ...(base.apertureRadiusArcsec !== undefined && { apertureRadiusArcsec: base.apertureRadiusArcsec }),
  }
  const varied = solve({ ...request, plan }, new Notes())
  const clockPerSub = clockPerKeptSub(base.subSeconds, varied.losses)
  return {
    '/subCount': varied.realCount,
    '/integrationSeconds': varied.realCount === null ? null : varied.realCount * base.subSeconds,
    '/clockSeconds': varied.realCount === null ? null : varied.realCount * clockPerSub,
    '/ceilingSnr': varied.ceilingSnr,
  }
}
