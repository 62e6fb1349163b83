// What a set-up's frame shows: its field, and how finely it samples a star.

import { fieldDegrees } from '../engine/index.ts'
import type { Scene } from './scene.ts'

export interface Frame {
  pixelScaleArcsec: number | null
  pixelsPerFwhm: number | null
  sampling: 'coarse' | 'good' | 'fine' | null
  fieldWidthDegrees: number | null
  fieldHeightDegrees: number | null
}

/** Pixels across a star from which sampling is good, and up to which. Common practice, no source. */
const GOOD_SAMPLING = { from: 1.5, to: 4 }

/** The frame of a scene, for stars of a width. */
export function frameOf(scene: Scene | null, fwhmArcsec: number): Frame {
  const pixelScaleArcsec = scene?.pixelScaleArcsec ?? null
  const pixelsPerFwhm = pixelScaleArcsec === null ? null : fwhmArcsec / pixelScaleArcsec
  return {
    pixelScaleArcsec,
    pixelsPerFwhm,
    sampling: pixelsPerFwhm === null ? null : samplingOf(pixelsPerFwhm),
    fieldWidthDegrees: sideDegrees(scene, scene?.camera.widthPx),
    fieldHeightDegrees: sideDegrees(scene, scene?.camera.heightPx),
  }
}

function samplingOf(pixelsPerFwhm: number): 'coarse' | 'good' | 'fine' {
  if (pixelsPerFwhm < GOOD_SAMPLING.from) return 'coarse'
  return pixelsPerFwhm <= GOOD_SAMPLING.to ? 'good' : 'fine'
}

function sideDegrees(scene: Scene | null, pixels: number | undefined): number | null {
  const focalLengthMm = scene?.optics?.focalLengthMm
  const pixelSizeUm = scene?.camera.pixelSizeUm
  if (focalLengthMm === undefined || pixelSizeUm === undefined || pixels === undefined) return null
  return fieldDegrees({ sizeMm: (pixels * pixelSizeUm) / 1000, focalLengthMm })
}
