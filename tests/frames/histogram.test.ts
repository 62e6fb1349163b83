import fc from 'fast-check'
import t from 'tap'

import { countFrom, histogramOf, histogramStatistics } from '../../src/frames/histogram.ts'
import { COUNTS_PER_PLANE, POSITIONS, SAMPLE_VALUES } from '../../src/frames/picture.ts'
import { addCounts, countRows } from '../../src/frames/sample-counts.ts'
import { naiveStatistics } from './support/naive.ts'

/** Counts a picture of one row height after the other, as strips do. */
function counted(samples: readonly number[], widthPx: number): Uint32Array {
  const counts = new Uint32Array(COUNTS_PER_PLANE)
  countRows(Int16Array.from(samples), { widthPx, from: 0, to: samples.length / widthPx }, counts)
  return counts
}

const picture = fc
  .tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }), fc.constantFrom(3, 300, 32767))
  .chain(([widthPx, heightPx, reach]) =>
    fc.record({
      widthPx: fc.constant(widthPx),
      samples: fc.array(fc.integer({ min: -reach - 1, max: reach }), {
        minLength: widthPx * heightPx,
        maxLength: widthPx * heightPx,
      }),
    }),
  )

void t.test('statistics by counting are those by sorting (seed 11)', (t) => {
  fc.assert(
    fc.property(picture, fc.boolean(), ({ widthPx, samples }, hasBlank) => {
      const blank = hasBlank ? (samples[0] ?? null) : null
      const ours = histogramStatistics(histogramOf(counted(samples, widthPx), POSITIONS, blank))
      const naive = naiveStatistics(samples, blank)
      if (naive.validCount === 0) return ours.validCount === 0 && ours.missingCount === samples.length
      const figures = ['validCount', 'missingCount', 'median', 'medianDeviation', 'minimum', 'maximum'] as const
      const isExact = figures.every((figure) => ours[figure] === naive[figure])
      return isExact && Math.abs(ours.mean - naive.mean) <= 1e-9 * Math.max(1, Math.abs(naive.mean))
    }),
    { numRuns: 300, seed: 11 },
  )
  t.pass('300 pictures')
  t.end()
})

void t.test('the four positions of a cell are counted apart, for odd and even widths', (t) => {
  for (const [widthPx, heightPx] of [
    [4, 4],
    [5, 4],
    [4, 5],
    [3, 3],
    [1, 3],
    [2, 1],
  ] as const) {
    const samples = Array.from({ length: widthPx * heightPx }, (_, at) => at - 7)
    const counts = counted(samples, widthPx)
    for (const position of POSITIONS) {
      const own = samples.filter((_, at) => (Math.floor(at / widthPx) & 1) * 2 + ((at % widthPx) & 1) === position)
      const { bins, validCount } = histogramOf(counts, [position], null)
      t.equal(validCount, own.length, `${widthPx} x ${heightPx}, position ${position}`)
      t.ok(own.every((sample) => bins[sample + 32768] === 1))
    }
  }
  t.end()
})

void t.test('no valid pixel: zeros, and the missing ones counted', (t) => {
  const all = histogramStatistics(histogramOf(counted([5, 5, 5, 5], 2), POSITIONS, 5))
  t.match(all, { validCount: 0, missingCount: 4, median: 0, mean: 0 })
  t.equal(histogramOf(counted([5, 5], 2), POSITIONS, 70_000).missingCount, 0, 'a blank that no sample can have')
  t.end()
})

void t.test('pixels at a level or above, and just below the maximum', (t) => {
  const samples = [5, 5, 5, 5, 5, 5, 5, 10, 95, 99, 100, 100]
  const histogram = histogramOf(counted(samples, 4), POSITIONS, null)
  t.strictSame(
    [-40_000, 10, 99.5, 101, 40_000].map((level) => countFrom(histogram, level)),
    [12, 5, 2, 0, 0],
  )
  // Median 5: two percent of the span of 95 reach down to 98.1.
  t.match(histogramStatistics(histogram), { median: 5, atMaximumCount: 2, nearMaximumCount: 1 })
  t.end()
})

void t.test('counts of several workers add up', (t) => {
  const shared = new Uint32Array(new SharedArrayBuffer(COUNTS_PER_PLANE * 4))
  addCounts(shared, counted([1, 2, 3, 4], 2))
  addCounts(shared, counted([1, 1, 1, -1], 2))
  t.equal(shared[1], 2)
  t.equal(shared[3 * SAMPLE_VALUES + 0xffff], 1)
  t.equal(
    shared.reduce((sum, count) => sum + count, 0),
    8,
  )
  t.end()
})
