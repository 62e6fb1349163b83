// What goals share: what they are for must be there, and ratios on a pixel become ratios on the sky.

import { snrPerArcsec2 } from '../engine/index.ts'
import type { Notes } from './notes.ts'
import { hasExtended, hasStar, type Scene, type TargetRequest } from './scene.ts'

/** Names a goal for something that its target does not have. */
export function checkGoal(
  { per }: { per: 'pixel' | 'arcsec2' | 'star' },
  target: TargetRequest,
  pointer: string,
  notes: Notes,
): void {
  if (per === 'star') {
    if (!hasStar(target)) notes.broken(pointer, 'the goal is for a star, but the target has none')
  } else if (!hasExtended(target)) {
    notes.broken(pointer, `the goal is per ${per}, but the target has no extended part`)
  }
}

/** Signal-to-noise ratio on a square arcsecond over that on a pixel; null where nobody said how large a pixel is. */
export function perArcsec2({ plane, pixelScaleArcsec }: Scene): number | null {
  if (pixelScaleArcsec === null) return null
  return snrPerArcsec2({ snrPerPixel: 1, samplingFraction: plane.samplingFraction, pixelScaleArcsec })
}
