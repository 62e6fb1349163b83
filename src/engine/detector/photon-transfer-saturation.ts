// Where the ladder saturates. By the share of pixels at the highest code where it passes the mark (Release 4.0), else by
// the level of the highest variance, past which clipping narrows the noise (Release 3.1): where the pixel fills before the
// converter clips, none stands at the highest code. Where the converter clips first, this is a lower bound of the full well.

import { signalAdu } from './photon-transfer-levels.ts'
import type { PhotonTransferLevel } from './photon-transfer-levels.ts'

export interface Saturation {
  method: 'clipped-share' | 'variance-maximum'
  /** Level above the dark. */
  signalAdu: number
  /** From the spacing of the ladder, as a rectangular distribution. */
  standardUncertainty: number
  /** Level with the offset, as the frames show it. */
  meanAdu: number
}

/** Shares of pixels at the highest code between which the standard sees saturation. */
const CLIPPED = { from: 0.001, to: 0.002 }

/** Fall of the variance behind its maximum that counts as clipping and not as scatter: common practice, no source. */
const VARIANCE_FALL = 0.9

/**
 * Saturation level of a ladder of flats.
 *
 * @param levels  from dark to bright
 * @returns null where the ladder does not reach saturation
 * @source EMVA 1288 Release 4.0 Linear (0.1 to 0.2 % of the pixels at the highest code); Release 3.1 (variance maximum);
 *   uncertainty: JCGM 100:2008, 4.3.7
 */
export function saturationOf(levels: readonly PhotonTransferLevel[]): Saturation | null {
  const clipped = levels.flatMap((level) => {
    const { clippedShare: share } = level
    return share === undefined ? [] : [{ level, share }]
  })
  return byClippedShare(clipped) ?? byVarianceMaximum(levels)
}

function byClippedShare(levels: readonly { level: PhotonTransferLevel; share: number }[]): Saturation | null {
  const below = levels.filter(({ share }) => share < CLIPPED.from).at(-1)
  const above = levels.find(({ share }) => share > CLIPPED.to)
  if (below === undefined || above === undefined) return null
  const at = levels.find(({ share }) => share >= CLIPPED.from && share <= CLIPPED.to)
  return saturationBetween('clipped-share', below.level, at?.level, above.level)
}

function byVarianceMaximum(levels: readonly PhotonTransferLevel[]): Saturation | null {
  const highest = Math.max(...levels.map(({ temporalVarianceAdu2 }) => temporalVarianceAdu2))
  const index = levels.findIndex(({ temporalVarianceAdu2 }) => temporalVarianceAdu2 === highest)
  const [below, at, above] = [levels[index - 1], levels[index], levels[index + 1]]
  const falls = levels.slice(index + 1).some((level) => level.temporalVarianceAdu2 < VARIANCE_FALL * highest)
  if (at === undefined || above === undefined || !falls) return null
  // Without a level below the maximum, saturation lies somewhere between that and the next.
  return below === undefined
    ? saturationBetween('variance-maximum', at, undefined, above)
    : saturationBetween('variance-maximum', below, at, above)
}

/** The level itself, or the middle of its neighbours; half the distance between the neighbours bounds the error. */
function saturationBetween(
  method: Saturation['method'],
  below: PhotonTransferLevel,
  at: PhotonTransferLevel | undefined,
  above: PhotonTransferLevel,
): Saturation {
  const signal = at === undefined ? (signalAdu(below) + signalAdu(above)) / 2 : signalAdu(at)
  const offset = (at ?? above).darkMeanAdu
  return {
    method,
    signalAdu: signal,
    standardUncertainty: (signalAdu(above) - signalAdu(below)) / Math.sqrt(12),
    meanAdu: signal + offset,
  }
}
