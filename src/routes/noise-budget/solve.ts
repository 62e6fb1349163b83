// From a plain request to the noise of one sub and of the stack.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { NoiseBudgetRequestSchema } from '../../contract/noise-budget.ts'
import {
  noiseBudget,
  snrPerArcsec2,
  stackBudget,
  starStackBudget,
  starSubBudget,
  subNoiseTerms,
  type NoiseBudget,
  type ReadMode,
} from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { cautionStar, measureStar, planLength, refuseFullWell, type StarMeasurement } from '../../setup/exposure.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveLosses, resolveStacking } from '../../setup/plan.ts'
import { hasExtended, hasStar, resolveScene, type Scene } from '../../setup/scene.ts'

export type Request = Plain<z.infer<typeof NoiseBudgetRequestSchema>>

export interface Solution {
  scene: Scene
  mode: ReadMode
  subSeconds: number
  subCount: number
  perSub: NoiseBudget
  stack: NoiseBudget
  snrPerArcsec2: number | null
  star: (StarMeasurement & { perSub: NoiseBudget; stack: NoiseBudget }) | null
  extended: boolean
}

/** Noise of a request's sub and stack, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const plan = request.plan ?? {}
  const needs = {
    scale: hasStar(request.target) ? 'needed for the size of a star in pixels' : null,
    unclippedStarMag: undefined,
  }
  const scene = resolveScene(request, needs, notes)
  const stacking = resolveStacking(plan, notes)
  const subCount = plan.subCount ?? notes.assume('/plan/subCount', 1, 'not given: one sub')
  notes.settle()
  const quiet = plan.subSeconds !== undefined && scene.camera.modes.length === 1
  const losses = resolveLosses(plan, quiet ? new Notes() : notes)
  const { subSeconds, mode } = planLength(scene, plan, losses, notes)
  refuseFullWell(scene.plane.rates, mode, subSeconds)
  const input = { rates: scene.plane.rates, readout: mode.readout, subSeconds }
  const signalElectrons = input.rates.targetElectronsPerPixelSecond * subSeconds
  const stack = stackBudget({ subCount, ...input, ...stacking })
  const star = measureStar({ scene, plan, subSeconds, mode, calibration: stacking.calibration, notes })
  cautionStar(star, notes)
  const { pixelScaleArcsec, plane } = scene
  notes.cite('Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation')
  cautionSetup(scene, notes)
  return {
    scene,
    mode,
    subSeconds,
    subCount,
    perSub: noiseBudget(signalElectrons, subNoiseTerms(input)),
    stack,
    snrPerArcsec2:
      pixelScaleArcsec === null
        ? null
        : snrPerArcsec2({ snrPerPixel: stack.snr, samplingFraction: plane.samplingFraction, pixelScaleArcsec }),
    star:
      star === null
        ? null
        : {
            perSub: starSubBudget(star.input),
            stack: starStackBudget({ subCount, combine: stacking.combine, ...star.input }),
            ...star,
          },
    extended: hasExtended(request.target),
  }
}

/** The headline numbers with length, count and aperture kept. */
export function quantities(request: Request, base: Solution): Quantities {
  const plan = {
    ...request.plan,
    subSeconds: base.subSeconds,
    subCount: base.subCount,
    ...(base.star !== null && { apertureRadiusArcsec: base.star.apertureRadiusArcsec }),
  }
  const varied = solve({ ...request, plan }, new Notes())
  return {
    '/perSub/signalElectrons': varied.perSub.signalElectrons,
    '/perSub/noiseElectrons': varied.perSub.noiseElectrons,
    '/perSub/snr': varied.perSub.snr,
    '/stack/signalElectrons': varied.stack.signalElectrons,
    '/stack/noiseElectrons': varied.stack.noiseElectrons,
    '/stack/snr': varied.stack.snr,
    '/stack/snrPerArcsec2': varied.snrPerArcsec2,
    '/star/perSub/snr': varied.star?.perSub.snr,
    '/star/stack/snr': varied.star?.stack.snr,
  }
}
