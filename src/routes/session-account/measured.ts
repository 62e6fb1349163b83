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
  /** Lengths of its subs. */
  lengths: ReadonlySet<number>
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
      squaredShares: 1,
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
    (fwhmArcsec) =>
      capturedFraction({ profile, fwhmPx: fwhmArcsec / scale, radiusPx: apertureRadiusArcsec / scale }) *
      samplingFraction,
  )
  notes.cite('Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation')
  return {
    thing: {
      signalElectronsPerSecond: withSignal(input.starElectronsPerSecond),
      underlyingElectronsPerPixelSecond: input.rates.targetElectronsPerPixelSecond,
      effectivePixels: aperturePixels * (backgroundPixels === undefined ? 1 : 1 + aperturePixels / backgroundPixels),
      squaredShares: input.squaredShares,
      readout: mode.readout,
      calibration,
      efficiency,
    },
    capturedAt: captured,
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

/** A smooth function of a length, reckoned once each per cent and straight in between: good to 2e-5. */
function interpolated(f: (length: number) => number): (length: number) => number {
  const nodes = new Map<number, number>()
  const node = (step: number) => {
    const known = nodes.get(step)
    if (known !== undefined) return known
    const value = f(Math.exp(step / 100))
    nodes.set(step, value)
    return value
  }
  return (length) => {
    const place = 100 * Math.log(length)
    const step = Math.floor(place)
    const below = node(step)
    return below + (place - step) * (node(step + 1) - below)
  }
}
