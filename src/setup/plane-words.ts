// Which colour plane of a mosaic an answer goes by, in words.

import type { Notes } from './notes.ts'
import { seeingPlanes, showsTarget, type Scene } from './scene.ts'

/** Says by which plane an answer goes, where there are several, and why by that one. */
export function explainPlane({ planes, plane }: Scene, notes: Notes): void {
  if (planes.length > 1) notes.explain(`All this goes by the ${plane.channel} pixels, ${why(planes)}.`)
}

function why(planes: Scene['planes']): string {
  if (!showsTarget(planes)) return 'which get the least light for their noise'
  return seeingPlanes(planes).length === 1
    ? 'which alone see the target'
    : 'of those that see the target the ones with the least signal for their noise'
}
