// Random stars, and how the service is asked about them.

import type { Draws } from './draws.ts'
import { between, logBetween, randomPatch, requestOf, type Chosen, type Request } from './set-ups.ts'
import type { StarField } from './star.ts'

export interface ChosenStar extends Omit<Chosen, 'targetElectronsPerPixelSecond'> {
  profile: StarField['profile']
  mosaic?: StarField['mosaic']
  starElectrons?: number
  apertureRadiusPx?: number
  backgroundPixels?: number
}

/** A star of such a profile somewhere between faint and bright, without anything but sky around it. */
export function randomStar(draws: Draws, chosen: ChosenStar): StarField {
  const { profile, mosaic, starElectrons, apertureRadiusPx, backgroundPixels, ...patch } = chosen
  const electrons = starElectrons ?? logBetween(draws, 1000, 50000)
  const field = randomPatch(draws, { subCount: 2, ...patch }, electrons)
  return {
    ...field,
    profile,
    mosaic: mosaic ?? 'mono',
    starElectronsPerSecond: electrons / field.subSeconds,
    apertureRadiusPx: apertureRadiusPx ?? profile.fwhmPx * between(draws, 0.6, 1),
    backgroundPixels,
  }
}

const PIXEL_SIZE_UM = 4
const FOCAL_LENGTH_MM = 600

/** Side of a pixel of the frame on the sky. */
export function pixelScaleArcsec({ sensor }: StarField): number {
  return ((PIXEL_SIZE_UM * sensor.binning) / 1000 / FOCAL_LENGTH_MM) * (648000 / Math.PI)
}

/** The request that describes a star. */
export function starRequestOf(field: StarField): Request {
  const scale = pixelScaleArcsec(field)
  const { camera, plan, sky } = requestOf({ ...field, targetElectronsPerPixelSecond: 0 })
  return {
    sky,
    camera: { ...camera, pixelSizeUm: PIXEL_SIZE_UM, color: field.mosaic === 'mono' ? 'mono' : 'bayer' },
    optics: { apertureMm: 100, focalLengthMm: FOCAL_LENGTH_MM },
    ...(field.mosaic !== 'mono' && { filter: { band: field.mosaic } }),
    target: { starElectronsPerSecond: field.starElectronsPerSecond },
    plan: {
      ...plan,
      fwhmArcsec: field.profile.fwhmPx * scale,
      apertureRadiusArcsec: field.apertureRadiusPx * scale,
      ...(field.profile.moffatBeta !== undefined && { moffatBeta: field.profile.moffatBeta }),
      ...(field.backgroundPixels !== undefined && { backgroundPixels: field.backgroundPixels }),
    },
  }
}
