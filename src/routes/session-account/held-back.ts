// What held a log back over all filters. Effective time adds over filters, where signal-to-noise ratios do not.

import { HELD_BACK_FACTORS, type HeldBackFactor } from '../../engine/index.ts'
import { spokenSeconds } from '../../setup/words.ts'
import type { FilterAccount } from './account.ts'

const HELD_BACK_WORDS: Readonly<Record<HeldBackFactor, { cause: string; remedy: string }>> = {
  transparency: {
    cause: 'Haze and thin cloud',
    remedy: 'Only a clearer night helps; weights keep hazy subs from harm.',
  },
  sky: { cause: 'A sky brighter than the reference', remedy: 'Avoid the Moon, or shoot a narrower band under it.' },
  'read-noise': { cause: 'Read noise', remedy: 'Longer subs or a quieter read mode would help.' },
  'dark-current': { cause: 'Dark current', remedy: 'A colder sensor would help.' },
  seeing: { cause: 'Stars wider than the reference', remedy: 'Seeing and focus decide; check the focus more often.' },
  'dead-time': { cause: 'Dead time between subs', remedy: 'Longer subs, or fewer dithers, would help.' },
  pauses: { cause: 'Pauses without a sub', remedy: 'Look at what kept the camera idle for so long.' },
  cloud: { cause: 'Cloud', remedy: 'Only a clearer night helps; no other plan would have saved those subs.' },
  'rejected-in-a-row': {
    cause: 'Subs rejected in a row',
    remedy: 'Find what lasted so long; shorter subs would not help.',
  },
  rejected: {
    cause: 'Single subs that were not accepted',
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

/**
 * Everything that held the log back, the most first.
 *
 * @param reasons  why subs were rejected, by number
 */
export function heldBackTotals(accounts: readonly FilterAccount[], reasons: readonly string[]): HeldBackTotal[] {
  return HELD_BACK_FACTORS.map((factor) => ({ factor, effectiveSeconds: secondsOf(accounts, factor) }))
    .filter(({ effectiveSeconds }) => effectiveSeconds >= LEAST_SECONDS)
    .sort((one, other) => other.effectiveSeconds - one.effectiveSeconds)
    .map(({ factor, effectiveSeconds }, index) => {
      const { remedy } = HELD_BACK_WORDS[factor]
      const cause = causeOf(factor, accounts, reasons)
      const most = index === 0 ? ' most of all' : ''
      return {
        factor,
        effectiveSeconds,
        explanation: `${cause} held the session back${most}, by ${spokenSeconds(effectiveSeconds)} of effective time. ${remedy}`,
      }
    })
}

function causeOf(factor: HeldBackFactor, accounts: readonly FilterAccount[], reasons: readonly string[]): string {
  const { cause } = HELD_BACK_WORDS[factor]
  if (factor === 'cloud') {
    const lost = accounts.reduce((sum, { tally }) => sum + tally.cloudSeconds, 0)
    const guessed = accounts.reduce((sum, { tally }) => sum + tally.guessedCloudSeconds, 0)
    return guessed > lost / 2 ? `${cause} (the log gives no reason, but many subs in a row are lost)` : cause
  }
  if (factor !== 'rejected-in-a-row') return cause
  const most = mostUsual(accounts)
  return most === undefined || reasons[most] === undefined ? cause : `${cause} for “${reasons[most]}”`
}

/** The reason that cost most of the subs rejected in a row. */
function mostUsual(accounts: readonly FilterAccount[]): number | undefined {
  const seconds = new Map<number, number>()
  for (const { tally } of accounts) {
    for (const [reason, lost] of tally.spellReasons) seconds.set(reason, (seconds.get(reason) ?? 0) + lost)
  }
  return [...seconds].sort(([, one], [, other]) => other - one)[0]?.[0]
}

function secondsOf(accounts: readonly FilterAccount[], factor: HeldBackFactor): number {
  return accounts.reduce(
    (sum, { heldBack }) => sum + (heldBack.find((it) => it.factor === factor)?.effectiveSeconds ?? 0),
    0,
  )
}
