// The keywords that every header must begin with, in their order, and what they may say.
// FITS Standard 4.0 (IAU FITS Working Group 2018), section 4.4.1.1.

import { FitsError } from './errors.ts'
import type { FitsHeader } from './header.ts'

/** BITPIX: bits of a sample, negative for floating point. */
export type BitsPerSample = 8 | 16 | 32 | -32 | -64

const ALLOWED_BITS: readonly number[] = [8, 16, 32, -32, -64]

/** Axes beyond the third are accepted when they have length 1, so a header with many such axes is still one picture. */
const MAXIMUM_AXES = 999

export function requireSimple(header: FitsHeader): void {
  const simple = header.keywordAt(0) === 'SIMPLE' ? header.values('SIMPLE')[0] : undefined
  if (simple === undefined) throw misplaced('SIMPLE', 1)
  if (simple.type !== 'logical') {
    throw new FitsError('value-unreadable', 'SIMPLE is neither T nor F.', { card: 'SIMPLE', allowed: 'T' })
  }
  if (!simple.value) {
    throw new FitsError('not-standard', 'SIMPLE is F: the file departs from the FITS standard.', {
      card: 'SIMPLE',
      given: 'F',
      allowed: 'T',
    })
  }
}

export function bitsOf(header: FitsHeader): BitsPerSample {
  const bits = mandatoryInteger(header, 'BITPIX', 1)
  if (ALLOWED_BITS.includes(bits)) return bits as BitsPerSample
  throw notAllowed(
    'BITPIX',
    bits,
    bits === 64 ? '8, 16, 32, -32 or -64 (64 is not read here)' : ALLOWED_BITS.join(', '),
  )
}

/** Lengths of the axes, in order; every one is a whole number, 0 included. */
export function axesOf(header: FitsHeader): number[] {
  const axisCount = mandatoryInteger(header, 'NAXIS', 2)
  if (axisCount < 0 || axisCount > MAXIMUM_AXES) throw notAllowed('NAXIS', axisCount, `0 to ${MAXIMUM_AXES}`)
  return Array.from({ length: axisCount }, (_, axis) => {
    const keyword = `NAXIS${axis + 1}`
    const length = mandatoryInteger(header, keyword, 3 + axis)
    if (length < 0) throw notAllowed(keyword, length, 'a whole number, 1 or more')
    return length
  })
}

/** An integer at its mandatory place in the order of the cards. */
function mandatoryInteger(header: FitsHeader, keyword: string, index: number): number {
  if (header.keywordAt(index) !== keyword) throw misplaced(keyword, index + 1)
  const value = header.decisiveNumber(keyword)
  if (value === undefined || !Number.isSafeInteger(value)) {
    throw new FitsError('value-unreadable', `${keyword} is not an integer.`, { card: keyword, allowed: 'an integer' })
  }
  return value
}

function misplaced(keyword: string, cardNumber: number): FitsError {
  return new FitsError('keyword-missing', `Card ${cardNumber} of the header is not ${keyword}.`, {
    card: keyword,
    allowed: 'SIMPLE, BITPIX, NAXIS, NAXIS1 and so on, in this order',
  })
}

export function notAllowed(keyword: string, given: number, allowed: string): FitsError {
  return new FitsError('value-not-allowed', `${keyword} is ${given}.`, { card: keyword, given, allowed })
}
