// How the session runs, every default said.

import type { z } from 'zod'
import type { Plain } from '../contract/fields.ts'
import type { PlanSchema } from '../contract/plan.ts'
import {
  driftArcsecPerSecond,
  fieldRotationArcsecPerSecond,
  longestSecondsForTrail,
  rotationSmearPx,
  type Calibration,
  type Combine,
  type Losses,
  type Profile,
} from '../engine/index.ts'
import type { Notes } from './notes.ts'
import type { Scene } from './scene.ts'
import { COMMON_PRACTICE } from './typical.ts'

export type PlanRequest = Plain<z.infer<typeof PlanSchema>>

/** Dead time and interruptions. */
export function resolveLosses(plan: PlanRequest, notes: Notes): Losses {
  return {
    overheadSeconds: plan.overheadSeconds ?? notes.assume('/plan/overheadSeconds', 5, COMMON_PRACTICE),
    interruptionsPerSecond:
      (plan.interruptionsPerHour ?? notes.assume('/plan/interruptionsPerHour', 1, COMMON_PRACTICE)) / 3600,
    interruptionCost:
      plan.interruptionCost ??
      notes.assume('/plan/interruptionCost', 'found-afterwards', 'cloud and guiding errors are seen later'),
  }
}

/** How subs become a stack. */
export function resolveStacking(plan: PlanRequest, notes: Notes): { combine: Combine; calibration: Calibration } {
  const { darkFrames, flatFrames, flatElectrons, biasFrames, ditherPositions } = plan.calibration ?? {}
  if (plan.calibration === undefined) {
    notes.assume('/plan/calibration', null, 'not given: calibration frames are taken as free of noise')
  }
  if (flatFrames !== undefined && flatElectrons === undefined) {
    notes.missing('/plan/calibration/flatElectrons', 'flatFrames alone do not tell the noise of the flat')
  }
  if (flatElectrons !== undefined && flatFrames === undefined) {
    notes.missing('/plan/calibration/flatFrames', 'flatElectrons alone do not tell the noise of the flat')
  }
  return {
    combine: plan.combine ?? notes.assume('/plan/combine', 'mean', 'not given'),
    calibration: { darkFrames, flatFrames, flatElectrons, biasFrames, ditherPositions },
  }
}

/** How stars look in a sub, in pixels of the frame. */
export function resolveStarShape(
  plan: PlanRequest,
  pixelScaleArcsec: number,
  notes: Notes,
): { profile: Profile; fwhmPx: number } {
  const fwhmArcsec = plan.fwhmArcsec ?? notes.assume('/plan/fwhmArcsec', 3, COMMON_PRACTICE)
  const profile: Profile =
    plan.moffatBeta === undefined ? { kind: 'gaussian' } : { kind: 'moffat', beta: plan.moffatBeta }
  return { profile, fwhmPx: fwhmArcsec / pixelScaleArcsec }
}

/** Longest sub that the mount allows; undefined when nothing was said about it, or nothing moves. */
export function resolveTracking(plan: PlanRequest, scene: Scene, notes: Notes): number | undefined {
  const trail = plan.tracking === undefined ? null : trailSeconds(plan.tracking, scene, notes)
  if (trail === null) return plan.longestTrackedSeconds
  return Math.min(trail, plan.longestTrackedSeconds ?? Infinity)
}

function trailSeconds(tracking: NonNullable<PlanRequest['tracking']>, scene: Scene, notes: Notes): number | null {
  const allowedTrailPx = tracking.allowedTrailPx ?? notes.assume('/plan/tracking/allowedTrailPx', 1, COMMON_PRACTICE)
  const pxPerSecond =
    tracking.mount === 'undriven' ? driftPxPerSecond(tracking, scene, notes) : cornerPxPerSecond(tracking, scene, notes)
  return longestSecondsForTrail({ pxPerSecond, allowedTrailPx })
}

type Tracking = NonNullable<PlanRequest['tracking']>

function driftPxPerSecond(tracking: Tracking, scene: Scene, notes: Notes): number {
  const declinationDegrees =
    tracking.declinationDegrees ?? notes.missing('/plan/tracking/declinationDegrees', 'needed for an undriven mount')
  const scale = scene.pixelScaleArcsec ?? notes.missing('/optics', 'needed to turn a drift on the sky into pixels')
  notes.settle()
  return driftArcsecPerSecond(declinationDegrees) / scale
}

/** The field turns about its centre, so its corners trail most. */
function cornerPxPerSecond(tracking: Tracking, { camera, sky }: Scene, notes: Notes): number {
  const why = 'needed for an alt-azimuth mount'
  const latitudeDegrees = tracking.latitudeDegrees ?? notes.missing('/plan/tracking/latitudeDegrees', why)
  const azimuthDegrees = tracking.azimuthDegrees ?? notes.missing('/plan/tracking/azimuthDegrees', why)
  const widthPx = camera.widthPx ?? notes.missing('/camera/widthPx', why)
  const heightPx = camera.heightPx ?? notes.missing('/camera/heightPx', why)
  notes.settle()
  const { targetAltitudeDegrees: altitudeDegrees } = sky.model
  return rotationSmearPx({
    rotationArcsecPerSecond: fieldRotationArcsecPerSecond({ latitudeDegrees, azimuthDegrees, altitudeDegrees }),
    seconds: 1,
    radiusPx: Math.hypot(widthPx, heightPx) / 2 / camera.binning,
  })
}
