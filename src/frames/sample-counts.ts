// Counting every value of samples of up to 16 bits: the one pass that gives exact medians without a copy of the frame.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { COUNTS_PER_PLANE, SAMPLE_VALUES } from './picture.ts'

/**
 * Adds rows of pixels to the counts, each of the four places in a cell apart.
 *
 * @param samples  pixels, row by row, in the machine's order
 * @param rows  width in pixels; first row and the row after the last, in `samples`; the first row is an even one of the
 *   picture
 * @param counts  {@link COUNTS_PER_PLANE} counters; a sample's bin is its 16 bits read as unsigned
 */
export function countRows(
  samples: Int16Array,
  rows: { widthPx: number; from: number; to: number },
  counts: Uint32Array,
): void {
  const { widthPx, from, to } = rows
  const canPair = widthPx % 2 === 0 && samples.byteOffset % 4 === 0
  const words = canPair ? new Int32Array(samples.buffer, samples.byteOffset, samples.length >> 1) : undefined
  for (let row = from; row < to; row += 2) {
    if (words && row + 1 < to) countRowPair(words, (row * widthPx) / 2, widthPx / 2, counts)
    else countCells(samples, { widthPx, from: row, to: Math.min(row + 2, to), evenRow: row }, counts)
  }
}

/**
 * Two rows at once, two pixels to a load: four separate counters in turn keep the processor from waiting for itself.
 * The low half of a word is the pixel that comes first.
 */
function countRowPair(words: Int32Array, start: number, wordsPerRow: number, counts: Uint32Array): void {
  for (let index = start; index < start + wordsPerRow; index++) {
    const upper = words[index]!
    const lower = words[index + wordsPerRow]!
    counts[upper & 0xffff]!++
    counts[SAMPLE_VALUES + (upper >>> 16)]!++
    counts[2 * SAMPLE_VALUES + (lower & 0xffff)]!++
    counts[3 * SAMPLE_VALUES + (lower >>> 16)]!++
  }
}

/** Pixel by pixel, for odd widths and an odd last row. */
function countCells(
  samples: Int16Array,
  rows: { widthPx: number; from: number; to: number; evenRow: number },
  counts: Uint32Array,
): void {
  for (let row = rows.from; row < rows.to; row++) {
    const rowBase = ((row - rows.evenRow) & 1) * 2 * SAMPLE_VALUES
    for (let column = 0; column < rows.widthPx; column++) {
      const sample = samples[row * rows.widthPx + column]!
      const bin = rowBase + (column & 1) * SAMPLE_VALUES + (sample & 0xffff)
      counts[bin]! += 1
    }
  }
}

/** Adds counts to those that several workers share. Most bins are empty: they are looked at two at a time, as one double. */
export function addCounts(shared: Uint32Array, counts: Uint32Array): void {
  const pairs = new Float64Array(counts.buffer, counts.byteOffset, COUNTS_PER_PLANE / 2)
  for (let pair = 0; pair < pairs.length; pair++) {
    // No pair but two zeros equals 0: the double that does, −0, would be a count of 2³¹.
    if (pairs[pair] === 0) continue
    Atomics.add(shared, 2 * pair, counts[2 * pair]!)
    Atomics.add(shared, 2 * pair + 1, counts[2 * pair + 1]!)
  }
}
