// From a plain request to the advice and what it yields.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { SubExposureRequestSchema } from '../../contract/sub-exposure.ts'
import {
  adviseSub,
  readNoiseExcess,
  snrPerArcsec2,
  stackBudget,
  starStackBudget,
  swampFactor,
  type Losses,
  type ReadMode,
  type SubAdvice,
} from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { adviceInput, clockPerKeptSub, measureStar } from '../../setup/exposure.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveLosses, resolveStacking, type PlanRequest } from '../../setup/plan.ts'
import { hasExtended, hasStar, resolveScene, type Scene } from '../../setup/scene.ts'
import type { TYPICAL_CAMERAS } from '../../setup/typical.ts'

export type Request = Plain<z.infer<typeof SubExposureRequestSchema>>

export interface Expected {
  snrPerPixel: number | null
  snrPerArcsec2: number | null
  snrStar: number | null
}

export interface Solution {
  scene: Scene
  advice: SubAdvice
  losses: Losses
  readNoiseTolerance: number
  subCount: number
  clockSeconds: number
  expected: Expected
  noTarget: boolean
  cameraClass: keyof typeof TYPICAL_CAMERAS | undefined
  /** Kept where an uncertain input is varied. */
  apertureRadiusArcsec: number | undefined
}

/** Four hours: a night's work between dusk, Moon and bedtime. Common practice, no source. */
const DEFAULT_AVAILABLE_SECONDS = 14400

export function sceneNeeds(request: Request): { scale: string | null; unclippedStarMag: number | undefined } {
  return {
    scale: hasStar(request.target) ? 'needed for the size of a star in pixels' : null,
    unclippedStarMag: request.plan?.unclippedStarMag,
  }
}

/** Advice for a request, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const plan = request.plan ?? {}
  const scene = resolveScene(request, sceneNeeds(request), notes)
  const losses = resolveLosses(plan, notes)
  const input = adviceInput(scene, plan, losses, notes)
  notes.settle()
  const advice = adviseSub(input)
  const clockPerSub = clockPerKeptSub(advice.subSeconds, losses)
  const subCount = subCountFor(plan, clockPerSub, notes)
  const yielded = expectedOf(request, { scene, subSeconds: advice.subSeconds, mode: advice.mode, subCount, notes })
  notes.cite(
    'Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation',
    'Young 1974, Comm. ACM 17, 530, and Daly 2006, Future Gener. Comput. Syst. 22, 303: losses per interruption',
  )
  cautionSetup(scene, notes)
  return {
    scene,
    advice,
    losses,
    readNoiseTolerance: input.readNoiseTolerance,
    subCount,
    clockSeconds: subCount * clockPerSub,
    expected: yielded.expected,
    noTarget: request.target === undefined,
    cameraClass: request.camera.like,
    apertureRadiusArcsec: yielded.apertureRadiusArcsec,
  }
}

function subCountFor(plan: PlanRequest, clockPerSub: number, notes: Notes): number {
  if (plan.subCount !== undefined) return plan.subCount
  const availableSeconds =
    plan.availableSeconds ??
    notes.assume('/plan/availableSeconds', DEFAULT_AVAILABLE_SECONDS, 'not given: four hours on the clock')
  return Math.floor(availableSeconds / clockPerSub)
}

function expectedOf(
  request: Request,
  it: { scene: Scene; subSeconds: number; mode: ReadMode; subCount: number; notes: Notes },
): { expected: Expected; apertureRadiusArcsec: number | undefined } {
  const { scene, subSeconds, mode, subCount, notes } = it
  const expected: Expected = { snrPerPixel: null, snrPerArcsec2: null, snrStar: null }
  if (request.target === undefined || subCount === 0) return { expected, apertureRadiusArcsec: undefined }
  const plan = request.plan ?? {}
  const { combine, calibration } = resolveStacking(plan, notes)
  notes.settle()
  const { rates, samplingFraction } = scene.plane
  if (hasExtended(request.target)) {
    const snrPerPixel = stackBudget({ rates, readout: mode.readout, subSeconds, subCount, combine, calibration }).snr
    expected.snrPerPixel = snrPerPixel
    if (scene.pixelScaleArcsec !== null) {
      const { pixelScaleArcsec } = scene
      expected.snrPerArcsec2 = snrPerArcsec2({ snrPerPixel, samplingFraction, pixelScaleArcsec })
    }
  }
  const star = measureStar({ scene, plan, subSeconds, mode, calibration, notes })
  if (star !== null) expected.snrStar = starStackBudget({ ...star.input, subCount, combine }).snr
  return { expected, apertureRadiusArcsec: star?.apertureRadiusArcsec }
}

/** The headline numbers with the advised length, mode, count and aperture kept. */
export function quantities(request: Request, base: Solution): Quantities {
  const plan: PlanRequest = {
    ...request.plan,
    ...(base.apertureRadiusArcsec !== undefined && { apertureRadiusArcsec: base.apertureRadiusArcsec }),
  }
  const notes = new Notes()
  const scene = resolveScene(request, sceneNeeds(request), notes)
  const losses = resolveLosses(plan, notes)
  const { subSeconds } = base.advice
  const mode =
    scene.camera.modes[base.advice.byMode.findIndex(({ mode: { label } }) => label === base.advice.mode.label)]
  if (mode === undefined) return {}
  const input = adviceInput(scene, plan, losses, notes)
  const free = adviseSub({ ...input, modes: [mode] })
  const held = { rates: scene.plane.rates, readout: mode.readout, subSeconds }
  const { expected } = expectedOf({ ...request, plan }, { scene, subSeconds, mode, subCount: base.subCount, notes })
  return {
    '/recommended/subSeconds': unrounded(free),
    '/usefulRange/fromSeconds': free.usefulRange.fromSeconds,
    '/usefulRange/toSeconds': free.usefulRange.toSeconds,
    '/swampFactor': swampFactor(held),
    '/readNoiseExcess': readNoiseExcess(held),
    '/expected/snrPerPixel': expected.snrPerPixel,
    '/expected/snrPerArcsec2': expected.snrPerArcsec2,
    '/expected/snrStar': expected.snrStar,
    ...Object.fromEntries(free.limits.map(({ seconds }, index) => [`/limits/${index}/seconds`, seconds])),
  }
}

/** The advice before it was rounded: the loss optimum or the bound that cuts it. */
function unrounded({ bestSeconds, limitedBy, limits, usefulRange }: SubAdvice): number {
  const bound = limits.find(({ name, hard }) => hard && name === limitedBy)
  return bound?.seconds ?? bestSeconds ?? usefulRange.fromSeconds
}
