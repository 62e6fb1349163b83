// From a plain request to numbers of calibration frames, the cost of darks of another temperature, and a dark library.

import { ProblemError } from '../../contract/problem.ts'
import { calibrationPlan, type CalibrationPlan, type LibraryDark, type ReadMode } from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { clockPerKeptSub, planLength, refuseFullWell } from '../../setup/exposure.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveLosses } from '../../setup/plan.ts'
import { resolveScene } from '../../setup/scene.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import { checkLibrary, libraryOf } from './library.ts'
import { engineStack, type Request, type Stack } from './stack.ts'
import { solveTemperature, type Temperature } from './temperature.ts'

export interface Solution {
  stack: Stack
  flatElectrons: number
  plan: CalibrationPlan
  /** Null without dark current. */
  temperature: Temperature | null
  library: LibraryDark[] | null
}

/** More frames of a kind than anybody takes. */
const MOST_FRAMES = 1e6

/** The calibration of a request, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  checkLibrary(request, notes)
  const stack = stackOf(request, notes)
  const flatElectrons = flatLevel(request, stack.mode, notes)
  const flatSeconds = request.flatSeconds ?? notes.assume('/flatSeconds', 1, `not given (${COMMON_PRACTICE})`)
  notes.settle()
  const plan = calibrationPlan({
    ...engineStack(stack),
    flatElectrons,
    flatSeconds,
    varianceShare: stack.varianceShare,
  })
  refuseTooMany(plan)
  const temperature = solveTemperature(request, stack, notes)
  notes.cite('Newberry 1991, PASP 103, 122 (from memory): noise of calibrated frames')
  cautionSetup(stack.scene, notes)
  return {
    stack,
    flatElectrons,
    plan,
    temperature,
    library: libraryOf(request, temperature, stack.ditherPositions > 1, notes),
  }
}

function stackOf(request: Request, notes: Notes): Stack {
  const plan = request.plan ?? {}
  const scene = resolveScene(request, { scale: null, unclippedStarMag: undefined }, notes)
  const tolerance =
    request.calibrationTolerance ??
    notes.assume('/calibrationTolerance', 0.05, 'not given: calibration may add 5 % to the noise')
  const ditherPositions =
    plan.calibration?.ditherPositions ?? notes.assume('/plan/calibration/ditherPositions', 1, 'not given: no dither')
  const settled = plan.subSeconds !== undefined && scene.camera.modes.length === 1
  const losses = resolveLosses(plan, settled && plan.subCount !== undefined ? new Notes() : notes)
  const { subSeconds, mode } = planLength(scene, plan, losses, notes)
  refuseFullWell(scene.plane.rates, mode, subSeconds)
  const subCount = plan.subCount ?? countIn(plan.availableSeconds, clockPerKeptSub(subSeconds, losses), notes)
  return { scene, mode, subSeconds, subCount, ditherPositions, varianceShare: (1 + tolerance) ** 2 - 1 }
}

function countIn(availableSeconds: number | undefined, clockSeconds: number, notes: Notes): number {
  const seconds =
    availableSeconds ?? notes.assume('/plan/availableSeconds', 14400, `not given: four hours (${COMMON_PRACTICE})`)
  const count = Math.max(1, Math.floor(seconds / clockSeconds))
  return notes.assume('/plan/subCount', count, 'not given: as many as fit into the time there is')
}

function flatLevel({ plan }: Request, { usableWellElectrons }: ReadMode, notes: Notes): number {
  const pointer = '/plan/calibration/flatElectrons'
  const given = plan?.calibration?.flatElectrons
  if (given === undefined) {
    return usableWellElectrons === null
      ? notes.assume(pointer, 20000, `not given, and the well is unknown (${COMMON_PRACTICE})`)
      : notes.assume(pointer, usableWellElectrons / 2, `not given: half of what a pixel holds (${COMMON_PRACTICE})`)
  }
  if (usableWellElectrons !== null && given > usableWellElectrons) {
    notes.contradictory(
      pointer,
      `${given} electrons are more than the ${Math.round(usableWellElectrons)} that a pixel holds`,
    )
  }
  return given
}

function refuseTooMany(plan: CalibrationPlan): void {
  const most = Math.max(plan.darkFrames, plan.flatFrames, plan.flatCalibrationFrames)
  if (most <= MOST_FRAMES) return
  throw new ProblemError('no-answer', 'That would take more than a million calibration frames.', [
    {
      pointer: '/calibrationTolerance',
      message: 'too strict for so bright or so long a stack without more dither positions; raise either',
    },
  ])
}

/** The headline numbers that are not counts, with length and count of the subs kept. */
export function quantities(request: Request, { stack, flatElectrons }: Solution): Quantities {
  const { subSeconds, subCount } = stack
  const calibration = { ...request.plan?.calibration, flatElectrons }
  const varied = solve({ ...request, plan: { ...request.plan, subSeconds, subCount, calibration } }, new Notes())
  const residual = varied.temperature?.residual
  return {
    '/temperatureToleranceCelsius': varied.temperature?.toleranceCelsius,
    '/residual/ordinary/perSubElectrons': residual?.ordinary.perSubElectrons,
    '/residual/ordinary/overStackNoise': residual?.ordinary.overStackNoise,
    '/residual/hot/perSubElectrons': residual?.hot.perSubElectrons,
    '/residual/hot/overStackNoise': residual?.hot.overStackNoise,
  }
}
