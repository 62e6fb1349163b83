// Selecting the middle numbers digit by digit: 16 bits of the number at a time, over as many passes as it takes until few
// enough are left to be sorted. Slower than by way of a sample, but it never fails.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { LARGEST_MAGNITUDE } from '../fits/index.ts'
import type { SelectionInput } from './lattice.ts'

/** Numbers that are sorted at the end rather than counted once more. */
const SORTED_AT_MOST = 1 << 16

const DIGITS = 4
const DIGIT_VALUES = 1 << 16
const SIGN = 0x80000000 | 0

// A double and its halves share memory; the order of the halves is that of a little-endian machine.
const double = new Float64Array(1)
const halves = new Uint32Array(double.buffer)

/**
 * The two middle numbers (one twice, for an odd count) of the samples, or of their distances from a center.
 *
 * @param validCount  valid samples, 1 or more
 * @derived selection by rank over the order-preserving integer form of IEEE 754 numbers
 */
export function middlesByRadix(
  input: SelectionInput,
  validCount: number,
  center: number | null,
): { lower: number; upper: number } {
  const { value: lower, next } = selectRank(input, (validCount - 1) >> 1, center)
  if (validCount % 2 === 1) return { lower, upper: lower }
  return { lower, upper: next ?? selectRank(input, validCount >> 1, center).value }
}

/** The number of a rank, and the one after it where that is known without another pass. */
function selectRank(
  input: SelectionInput,
  rank: number,
  center: number | null,
): { value: number; next: number | null } {
  const prefix: Prefix = { highMask: 0, high: 0, lowMask: 0, low: 0 }
  let rankLeft = rank
  let count = 0
  for (let digit = 0; digit < DIGITS; digit++) {
    const counts = new Uint32Array(DIGIT_VALUES)
    visit(input, { prefix, center, digit }, counts)
    let value = 0
    while (rankLeft >= counts[value]!) rankLeft -= counts[value++]!
    extend(prefix, digit, value)
    count = counts[value]!
    if (count <= SORTED_AT_MOST) break
  }
  if (count > SORTED_AT_MOST) {
    const value = fromOrdered(prefix.high, prefix.low)
    return { value, next: rankLeft + 1 < count ? value : null }
  }
  const sorted = new Float64Array(count)
  visit(input, { prefix, center, digit: 0 }, sorted)
  sorted.sort()
  return { value: sorted[rankLeft]!, next: sorted[rankLeft + 1] ?? null }
}

/** The digits that are known so far, as the bits to compare and what they must be. */
interface Prefix {
  highMask: number
  high: number
  lowMask: number
  low: number
}

function extend(prefix: Prefix, digit: number, value: number): void {
  const bits = digit % 2 === 0 ? value << 16 : value
  const mask = digit % 2 === 0 ? 0xffff0000 | 0 : -1
  if (digit < 2) {
    prefix.high |= bits
    prefix.highMask = mask
  } else {
    prefix.low |= bits
    prefix.lowMask = mask
  }
}

/**
 * Goes through the numbers that carry the prefix: counts their next digit, or writes them down one after the other.
 */
function visit(
  { samples, lattices, blank }: SelectionInput,
  { prefix, center, digit }: { prefix: Prefix; center: number | null; digit: number },
  into: Uint32Array | Float64Array,
): void {
  const { highMask, high, lowMask, low } = prefix
  const counts = into instanceof Uint32Array ? into : undefined
  const usesLow = digit >= 2
  const shift = digit % 2 === 0 ? 16 : 0
  let written = 0
  for (const lattice of lattices) {
    for (let row = 0; row < lattice.rows; row++) {
      const start = lattice.start + row * lattice.rowStride
      const end = start + lattice.stride * lattice.count
      for (let index = start; index < end; index += lattice.stride) {
        const sample = samples[index]!
        if (!(Math.abs(sample) <= LARGEST_MAGNITUDE) || sample === blank) continue
        double[0] = center === null ? sample : Math.abs(sample - center)
        const flip = halves[1]! >> 31
        const orderedHigh = halves[1]! ^ (flip | SIGN)
        const orderedLow = halves[0]! ^ flip
        if ((orderedHigh & highMask) !== high || (orderedLow & lowMask) !== low) continue
        if (counts) counts[((usesLow ? orderedLow : orderedHigh) >>> shift) & 0xffff]!++
        else into[written++] = double[0]
      }
    }
  }
}

/** Undoes the order-preserving form: negative numbers have all bits flipped, the others the sign only. */
function fromOrdered(high: number, low: number): number {
  const flip = high < 0 ? 0 : -1
  halves[1] = high ^ (flip | SIGN)
  halves[0] = low ^ flip
  return double[0]!
}
