// The exposure that a header states, where what it states is one number.

import { shownValue } from './card.ts'
import type { FitsHeader } from './header.ts'

export interface ExposureHint {
  /** Null where no number is given, or several that differ. */
  exposureSeconds: number | null
  /** What the header says of it, in words: keywords with their values; null where it says nothing. */
  exposureCards: string | null
}

const EXPOSURE_KEYWORDS = ['EXPTIME', 'EXPOSURE']
/** Exposures that agree to this share are the same, written differently. */
const SAME_EXPOSURE = 1e-3

/**
 * The exposure by `EXPTIME` or `EXPOSURE`; two that differ leave none, for nothing tells which is right.
 *
 * @derived common practice, no source: neither keyword is decisive for reading the data
 */
export function exposureOf(header: FitsHeader): ExposureHint {
  const cards = EXPOSURE_KEYWORDS.flatMap((keyword) =>
    header.values(keyword).flatMap((value) => (value.type === 'undefined' ? [] : [{ keyword, value }])),
  )
  const numbers = cards.filter(({ value }) => value.type === 'number')
  const spoken = (numbers.length > 0 ? numbers : cards).map(({ keyword, value }) => `${keyword} ${shownValue(value)}`)
  const seconds = numbers.flatMap(({ value }) => (value.type === 'number' ? [value.value] : []))
  const [first] = seconds
  const isOne =
    first !== undefined && seconds.every((other) => Math.abs(other - first) <= SAME_EXPOSURE * Math.abs(first))
  return {
    exposureSeconds: isOne ? first : null,
    exposureCards: spoken.length === 0 ? null : spoken.slice(0, MOST_SPOKEN).join(' beside '),
  }
}

/** Cards that are named of a header that repeats itself. */
const MOST_SPOKEN = 4
