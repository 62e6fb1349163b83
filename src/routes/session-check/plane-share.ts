// The sky of the plane that an answer goes by, out of the median of the whole frame.

import type { Notes } from '../../setup/notes.ts'
import type { Scene } from '../../setup/scene.ts'

/** Where planes differ by more than this the median of the frame tells next to nothing of the one that counts. */
const ALIKE = 3

/** The median of a mosaic is that of its planes, each with its share of the pixels. */
export function planeShare({ planes, plane }: Scene, notes: Notes): number {
  const sorted = [...planes].sort((a, b) => a.rates.skyElectronsPerPixelSecond - b.rates.skyElectronsPerPixelSecond)
  let below = 0
  const middle = sorted.find(({ samplingFraction }) => (below += samplingFraction) >= 0.5)
  const share = plane.rates.skyElectronsPerPixelSecond / (middle?.rates.skyElectronsPerPixelSecond ?? 0)
  if (share < ALIKE && share > 1 / ALIKE) return share
  if (planes.length > 1) notes.assume('/subs', plane.channel, BACKGROUND_OF_PLANE)
  return 1
}

const BACKGROUND_OF_PLANE =
  'backgrounds are taken for those of the pixels that see this filter’s light: the median of all would tell little of them'
