// The Bayer pattern of a frame. No keyword for it is in the standard: these are ones that some cameras' files carry.

import { shownValue } from './card.ts'
import type { FitsHeader } from './header.ts'

/** Colours of the first two pixels of the file's first row, then of its second. */
const BAYER_PATTERNS = ['RGGB', 'BGGR', 'GRBG', 'GBRG'] as const

export type BayerPattern = (typeof BAYER_PATTERNS)[number]

/** Keywords that are looked at for a pattern, in this order. */
const BAYER_KEYWORDS = ['BAYERPAT', 'COLORTYP'] as const

/** Columns and rows by which the pattern is shifted against the first pixel. */
const OFFSET_KEYWORDS = { columns: 'XBAYROFF', rows: 'YBAYROFF' }

/**
 * The pattern a header names, relative to the first pixel in the file.
 *
 * @returns null where no keyword names one of the four patterns
 * @derived common practice, no source: the keywords are a habit of cameras' files, not of the standard
 */
export function bayerPatternOf(header: FitsHeader): BayerPattern | null {
  for (const keyword of BAYER_KEYWORDS) {
    const value = header.values(keyword)[0]
    const text = value?.type === 'string' ? value.value.trim().toUpperCase() : ''
    const pattern = BAYER_PATTERNS.find((candidate) => candidate === text)
    if (pattern === undefined) continue
    return shifted(pattern, offset(header, OFFSET_KEYWORDS.columns), offset(header, OFFSET_KEYWORDS.rows))
  }
  return null
}

/** What mono cameras write in place of a pattern. */
const NO_PATTERNS = ['', 'MONO', 'NONE']

/**
 * What a header names as its pattern where that is none of the four, as keyword and value.
 *
 * @returns null where a keyword names one of the four, or none names any
 * @derived common practice, no source: as for the pattern itself
 */
export function unknownPatternOf(header: FitsHeader): string | null {
  if (bayerPatternOf(header) !== null) return null
  for (const keyword of BAYER_KEYWORDS) {
    const value = header.values(keyword)[0]
    if (value === undefined || value.type === 'undefined') continue
    if (value.type === 'string' && NO_PATTERNS.includes(value.value.trim().toUpperCase())) continue
    return `${keyword} ${shownValue(value)}`
  }
  return null
}

function offset(header: FitsHeader, keyword: string): number {
  const value = header.values(keyword)[0]
  return value?.type === 'number' && Number.isInteger(value.value) ? Math.abs(value.value % 2) : 0
}

function shifted(pattern: BayerPattern, columns: number, rows: number): BayerPattern {
  const letters = [0, 1, 2, 3].map((position) => pattern[position ^ columns ^ (rows << 1)])
  return letters.join('') as BayerPattern
}
