// From a plain request to the brightness of the sky and what it puts on a pixel.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { SkyBackgroundRequestSchema } from '../../contract/sky-background.ts'
import {
  candelaPerSquareMeter,
  EngineError,
  moonlessMagnitudeOf,
  skyClassOf,
  skyElectrons,
  skyMagnitudes,
  type Sky,
} from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveScene, type Scene } from '../../setup/scene.ts'
import { resolveSky, skyNeedsPhotons, type SkySetup } from '../../setup/sky.ts'

export type Request = Plain<z.infer<typeof SkyBackgroundRequestSchema>>

export interface Contribution {
  name: 'natural' | 'artificial' | 'moon'
  magPerArcsec2: number
  electronsPerPixelSecond: number | null
  share: number
}

export interface Solution {
  scene: Scene | null
  electronsPerPixelSecond: number | null
  magPerArcsec2: number | null
  candelaPerSquareMeter: number | null
  bortleClass: number | null
  contributions: Contribution[]
}

/** The sky of a request, with its defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const scene = sceneOf(request, notes)
  if (scene !== null) cautionSetup(scene, notes)
  const sky = scene?.sky ?? resolveSky(request.sky, null, skyNeedsPhotons(request.sky), notes)
  notes.settle()
  const model = modelOf(sky, scene, notes)
  const counted = sky.form === 'electrons' ? sky.electronsPerPixelSecond : null
  const electronsPerPixelSecond = scene?.plane.rates.skyElectronsPerPixelSecond ?? counted
  if (model === null) {
    return {
      scene,
      electronsPerPixelSecond,
      magPerArcsec2: null,
      candelaPerSquareMeter: null,
      bortleClass: null,
      contributions: [],
    }
  }
  const { total } = skyMagnitudes(model)
  notes.cite('Allen 1973, Astrophysical Quantities (from memory): magnitude 0 per arcsec² is 10.8·10⁴ cd/m²')
  return {
    scene,
    electronsPerPixelSecond,
    magPerArcsec2: total,
    candelaPerSquareMeter: candelaPerSquareMeter(total),
    bortleClass: skyClassOf(model.moonlessMagPerArcsec2),
    contributions: contributionsOf(model, scene),
  }
}

function sceneOf(request: Request, notes: Notes): Scene | null {
  const { camera, optics } = request
  if (camera === undefined) return null
  const efficiency = camera.quantumEfficiency ?? camera.like
  const aperture = optics?.apertureMm ?? optics?.like
  const seesColours = efficiency !== undefined && aperture !== undefined
  const photons = seesColours ? 'needed to turn electrons into a brightness' : null
  return resolveScene({ ...request, camera }, { scale: null, unclippedStarMag: undefined, photons }, notes)
}

/** The brightness behind a sky that was counted in electrons, where camera, optics and filter can tell it. */
function modelOf(sky: SkySetup, scene: Scene | null, notes: Notes): Sky | null {
  if (sky.form === 'brightness') return sky.model
  const grasp = scene?.grasp ?? null
  const response = scene?.plane.response ?? null
  if (grasp === null || response === null) return null
  const { lamps, extinctionMagPerAirmass } = sky.model
  try {
    const electronsPerSecondM2Arcsec2 = sky.electronsPerPixelSecond / grasp
    const moonlessMagPerArcsec2 = moonlessMagnitudeOf({ response, electronsPerSecondM2Arcsec2, lamps })
    // What was counted holds the Moon and the altitude already.
    return { lamps, extinctionMagPerAirmass, targetAltitudeDegrees: 90, moonlessMagPerArcsec2 }
  } catch (error) {
    if (!(error instanceof EngineError) || error.code !== 'no-solution') throw error
    notes.explain('So few electrons are less than any sky gives this set-up: check offset, gain and filter.')
    return null
  }
}

function contributionsOf(model: Sky, scene: Scene | null): Contribution[] {
  const magnitudes = skyMagnitudes(model)
  const response = scene?.plane.response
  const grasp = scene?.grasp
  const electrons =
    response === undefined || response === null || grasp === undefined || grasp === null
      ? null
      : skyElectrons({ response, sky: model })
  const parts = (['natural', 'artificial', 'moon'] as const).flatMap((name) => {
    const magPerArcsec2 = magnitudes[name]
    if (magPerArcsec2 === null) return []
    const weight = electrons === null ? 10 ** (-0.4 * magPerArcsec2) : electrons[name]
    return [{ name, magPerArcsec2, weight, electronsPerPixelSecond: electrons === null ? null : weight * (grasp ?? 0) }]
  })
  const whole = parts.reduce((sum, { weight }) => sum + weight, 0)
  return parts.map(({ weight, ...part }) => ({ ...part, share: whole === 0 ? 0 : weight / whole }))
}

/** The headline numbers. */
export function quantities(request: Request): Quantities {
  const varied = solve(request, new Notes())
  return {
    '/electronsPerPixelSecond': varied.electronsPerPixelSecond,
    '/magPerArcsec2': varied.magPerArcsec2,
    '/candelaPerSquareMeter': varied.candelaPerSquareMeter,
  }
}
