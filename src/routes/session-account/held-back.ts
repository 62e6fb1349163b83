// What held a log back over all filters. Effective time adds over filters, where signal-to-noise ratios do not.

import { HELD_BACK_FACTORS, type HeldBackFactor } from '../../engine/index.ts'
import { spokenSeconds } from '../../setup/words.ts'
import type { FilterAccount } from './account.ts'

const HELD_BACK_WORDS: Readonly<Record<HeldBackFactor, { cause: string; remedy: string }>> = {
  transparency: { cause: 'Cloud and haze', remedy: 'Only a clearer night helps; weights keep hazy subs from harm.' },
  sky: { cause: 'A sky brighter than the reference', remedy: 'Avoid the Moon, or shoot a narrower band under it.' },
  'read-noise': { cause: 'Read noise', remedy: 'Longer subs or a quieter read mode would help.' },
  'dark-current': { cause: 'Dark current', remedy: 'A colder sensor would help.' },
  seeing: { cause: 'Stars wider than the reference', remedy: 'Seeing and focus decide; check the focus more often.' },
  'dead-time': { cause: 'Dead time between subs', remedy: 'Longer subs, or fewer dithers, would help.' },
  pauses: { cause: 'Pauses without a sub', remedy: 'Look at what kept the camera idle for so long.' },
  rejected: {
    cause: 'Subs that were not accepted',
    remedy: 'Shorter subs lose less each time; weights may take some back.',
  },
  combining: { cause: 'The way subs are combined', remedy: 'A weighted or clipped mean keeps more than a median.' },
  calibration: { cause: 'Too few calibration frames', remedy: 'More darks and flats, or dithering, would help.' },
}

export interface HeldBackTotal {
  factor: HeldBackFactor
  effectiveSeconds: number
  explanation: string
}

/** Less than this is not worth a line. */
const LEAST_SECONDS = 1

/** Everything that held the log back, the most first. */
export function heldBackTotals(accounts: readonly FilterAccount[]): HeldBackTotal[] {
  return HELD_BACK_FACTORS.map((factor) => ({ factor, effectiveSeconds: secondsOf(accounts, factor) }))
    .filter(({ effectiveSeconds }) => effectiveSeconds >= LEAST_SECONDS)
    .sort((one, other) => other.effectiveSeconds - one.effectiveSeconds)
    .map(({ factor, effectiveSeconds }, index) => {
      const { cause, remedy } = HELD_BACK_WORDS[factor]
      const most = index === 0 ? ' most of all' : ''
      return {
        factor,
        effectiveSeconds,
        explanation: `${cause} held the session back${most}, by ${spokenSeconds(effectiveSeconds)} of effective time. ${remedy}`,
      }
    })
}

function secondsOf(accounts: readonly FilterAccount[], factor: HeldBackFactor): number {
  return accounts.reduce(
    (sum, { heldBack }) => sum + (heldBack.find((it) => it.factor === factor)?.effectiveSeconds ?? 0),
    0,
  )
}
