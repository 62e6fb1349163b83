// A lamp or a twilight that changes between the two flats of a pair.

import { driftVarianceAdu2 } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { spokenShare } from '../../setup/words.ts'
import { PILED_UP_SHARE } from './pair-checks.ts'
import type { Pair } from './pairing.ts'
import type { Ladder } from './request.ts'

type Darkness = Pick<Ladder['levels'][number], 'darkMeanAdu' | 'darkSpatialVarianceAdu2'>

/** Standard errors by which the means of a pair differ, from which on the light has changed. */
const SURE_ERRORS = 5
/** Of what the flats differ by: beyond half the noise is no longer as sure as it is told to be, and this much is worth a word. */
const MOST_SHARE = 0.5
const TOLD_SHARE = 0.01

export interface LampDrift {
  /** What the changed light adds to the temporal variance. */
  varianceAdu2: number
  /** In words, with the frame from which to the next it changed; null where it hardly matters. */
  told: string | null
}

/** @returns null where the light held still, or nothing can be told of it; notes a pair that holds more drift than noise */
export function lampDrift({ statistics, pointer, label }: Pair, dark: Darkness, notes: Notes): LampDrift | null {
  const { apartAdu, temporalVarianceAdu2, spatialVarianceAdu2, atMaximumShare, pixelCount } = statistics
  // Clipped pixels do not brighten with the light.
  const isClipped = atMaximumShare > PILED_UP_SHARE
  const isSteady = apartAdu <= SURE_ERRORS * Math.sqrt((2 * temporalVarianceAdu2) / pixelCount)
  const signalAdu = statistics.meanAdu - dark.darkMeanAdu
  if (isSteady || isClipped || signalAdu <= apartAdu) return null
  const sharedVarianceAdu2 = spatialVarianceAdu2 - (dark.darkSpatialVarianceAdu2 ?? 0)
  const varianceAdu2 = driftVarianceAdu2({ signalAdu, apartAdu, sharedVarianceAdu2 })
  const share = varianceAdu2 / temporalVarianceAdu2
  const change = spokenShare(apartAdu / signalAdu)
  if (share > MOST_SHARE) {
    notes.contradictory(
      pointer,
      `the light changed by ${change} from this flat to the next, which hides their noise: let the lamp settle, and take both right after each other`,
    )
  }
  return { varianceAdu2, told: share > TOLD_SHARE ? `${label}: ${change}` : null }
}
