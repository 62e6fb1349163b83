// What frames must be like to be measured as a pair, and what is said of those that are not.

import { ProblemError } from '../../contract/problem.ts'
import type { PairStatistics, RegionFrame } from '../../frames/index.ts'
import { short } from '../../setup/words.ts'

/** Noises by which the flats of a pair may differ; at 10, a PRNU of 1 % adds half a percent to the variance. */
const MOST_NOISES_APART = 10
/** Share of their level that they may differ by all the same: twilight fades, lamps drift. */
const MOST_SHARE_APART = 0.1

/** Share of the pixels at the highest code from which a level is past saturation: EMVA 1288 Release 4.0 Linear. */
export const PILED_UP_SHARE = 0.002

/** Flats of two levels are no pair: what the pixels differ by in response would count as noise. */
export function requireOneLevel({ apartAdu, meanAdu, temporalVarianceAdu2 }: PairStatistics, pointer: string): void {
  const allowed = Math.max(MOST_NOISES_APART * Math.sqrt(temporalVarianceAdu2), MOST_SHARE_APART * Math.abs(meanAdu))
  if (apartAdu <= allowed) return
  throw noAnswer(
    pointer,
    `this flat and the next differ by ${short(apartAdu)} ADU: send both flats of one level right after each other, then both of the next`,
  )
}

/** Flats do without an exposure where the header says nothing of one; darks never do. */
export function requireNoExposure(kind: 'flat' | 'dark', { image }: RegionFrame, pointer: string): void {
  const { exposureCards } = image.hints
  const without = 'and no field `exposureSeconds` goes before it'
  if (exposureCards !== null) {
    throw noAnswer(pointer, `its header’s ${exposureCards} is not usable as an exposure, ${without}`)
  }
  if (kind === 'dark') throw noAnswer(pointer, `a dark of unknown exposure: its header has no \`EXPTIME\`, ${without}`)
}

/** In what a frame differs from another in a way that leaves them no pair, in words; empty for nothing. */
export function differences({ image: model, bayerPattern }: RegionFrame, frame: RegionFrame): string {
  const { widthPx, heightPx, bitsPerSample, scale, blankSample } = frame.image
  if (widthPx !== model.widthPx || heightPx !== model.heightPx) {
    return `${widthPx} x ${heightPx} pixels, not ${model.widthPx} x ${model.heightPx}`
  }
  if (bitsPerSample !== model.bitsPerSample) return `BITPIX ${bitsPerSample}, not ${model.bitsPerSample}`
  if (scale.scaleAdu !== model.scale.scaleAdu || scale.zeroAdu !== model.scale.zeroAdu) return 'another BSCALE or BZERO'
  if (blankSample !== model.blankSample) return 'another BLANK'
  return frame.bayerPattern === bayerPattern ? '' : 'another Bayer pattern'
}

/** A refusal that points at a part of the form. */
export function noAnswer(pointer: string, message: string): ProblemError {
  return new ProblemError('no-answer', `${pointer}: ${message}`, [{ pointer, message }])
}
