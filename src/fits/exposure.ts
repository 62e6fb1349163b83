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
const SAME_EXPOSURE = 1e-3

/** Whether two exposures, in seconds, are one, written differently: they agree to a thousandth of the larger. */
export function isSameExposure(one: number, other: number): boolean {
  return Math.abs(one - other) <= SAME_EXPOSURE * Math.max(Math.abs(one), Math.abs(other))
}

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
  const isOne = first !== undefined && seconds.every((other) => isSameExposure(other, first))
  return {
    exposureSeconds: isOne ? first : null,
    exposureCards: spoken.length === 0 ? null : spoken.slice(0, MOST_SPOKEN).join(' beside '),
  }
}

/** Cards that are named of a header that repeats itself. */
const MOST_SPOKEN = 4
