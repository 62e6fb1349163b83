// What the subs of a filter are measured on: a pixel of an extended target, or a star in its aperture.

import {
  capturedFraction,
  EngineError,
  type AccountModel,
  type Calibration,
  type ReadMode,
} from '../../engine/index.ts'
import { measureStar } from '../../setup/exposure.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveStarShape, type PlanRequest } from '../../setup/plan.ts'
import type { Scene } from '../../setup/scene.ts'

export interface FilterLog {
  /** How many of its subs have each length. */
  lengths: ReadonlyMap<number, number>
  acceptedCount: number
  /** The length that reference conditions go by; null where the log tells none. */
  usualSeconds: number | null
}

export interface Measured {
  scene: Scene
  plan: PlanRequest
  subSeconds: number
  mode: ReadMode
  calibration: Calibration
  /** Of the way the subs are combined. */
  efficiency: number
  notes: Notes
}

export interface Thing {
  thing: Omit<AccountModel, 'masters'>
  capturedAt: (fwhmArcsec: number) => number
  fwhmArcsec: number
  apertureRadiusArcsec: number | undefined
}

export function measuredPixel({ scene, mode, calibration, efficiency }: Measured): Thing {
  return {
    thing: {
      signalElectronsPerSecond: withSignal(scene.plane.rates.targetElectronsPerPixelSecond),
      underlyingElectronsPerPixelSecond: 0,
      effectivePixels: 1,
      concentration: 1,
      readout: mode.readout,
      calibration,
      efficiency,
    },
    capturedAt: () => 1,
    fwhmArcsec: 1,
    apertureRadiusArcsec: undefined,
  }
}

export function measuredStar(measured: Measured): Thing {
  const { scene, plan, mode, calibration, efficiency, notes } = measured
  const star = measureStar(measured)
  if (star === null || scene.pixelScaleArcsec === null) throw noSignal()
  const { input, apertureRadiusArcsec } = star
  const { aperturePixels, backgroundPixels } = input
  const scale = scene.pixelScaleArcsec
  const { profile, fwhmPx } = resolveStarShape(plan, scale, new Notes())
  const { samplingFraction } = scene.plane
  const captured = interpolated(
    (relative) =>
      capturedFraction({ profile, fwhmPx: fwhmPx * relative, radiusPx: apertureRadiusArcsec / scale }) *
      samplingFraction,
  )
  notes.cite('Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation')
  return {
    thing: {
      signalElectronsPerSecond: withSignal(input.starElectronsPerSecond),
      underlyingElectronsPerPixelSecond: input.rates.targetElectronsPerPixelSecond,
      effectivePixels: aperturePixels * (backgroundPixels === undefined ? 1 : 1 + aperturePixels / backgroundPixels),
      concentration: input.squaredShares / input.capturedFraction ** 2,
      readout: mode.readout,
      calibration,
      efficiency,
    },
    capturedAt: (fwhmArcsec) => captured(fwhmArcsec / (fwhmPx * scale)),
    fwhmArcsec: fwhmPx * scale,
    apertureRadiusArcsec,
  }
}

function noSignal(): EngineError {
  return new EngineError('no-signal', 'The target puts no electrons on the pixels asked about.', { field: 'target' })
}

function withSignal(electronsPerSecond: number): number {
  if (electronsPerSecond < 1e-12) throw noSignal()
  return electronsPerSecond
}

/** A smooth function, reckoned once each two per cent and cubic in between: exact at 1, good to 1e-7 elsewhere. */
function interpolated(f: (relative: number) => number): (relative: number) => number {
  const nodes = new Map<number, number>()
  const node = (step: number) => {
    const known = nodes.get(step)
    if (known !== undefined) return known
    const value = f(Math.exp(step / 50))
    nodes.set(step, value)
    return value
  }
  return (relative) => {
    const place = 50 * Math.log(relative)
    const step = Math.floor(place)
    const x = place - step
    if (x === 0) return node(step)
    const [p, q, r, s] = [node(step - 1), node(step), node(step + 1), node(step + 2)]
    return (
      (-x * (x - 1) * (x - 2) * p) / 6 +
      ((x + 1) * (x - 1) * (x - 2) * q) / 2 -
      ((x + 1) * x * (x - 2) * r) / 2 +
      ((x + 1) * x * (x - 1) * s) / 6
    )
  }
}
