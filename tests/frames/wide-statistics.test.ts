import fc from 'fast-check'
import t from 'tap'

import type { Samples } from '../../src/fits/index.ts'
import { middlesByBracket } from '../../src/frames/bracket-selection.ts'
import type { SelectionInput } from '../../src/frames/lattice.ts'
import { middlesByRadix } from '../../src/frames/radix-selection.ts'
import { countAtLeast, wideStatistics } from '../../src/frames/wide-statistics.ts'
import { seededRandom } from '../support/random.ts'
import { within } from '../support/near.ts'
import { naiveStatistics } from './support/naive.ts'

const whole = (samples: Samples, blank = Number.NaN): SelectionInput => ({
  samples,
  lattices: [{ start: 0, stride: 1, count: samples.length, rowStride: 0, rows: 1 }],
  blank,
})

const numbers = fc.oneof(
  fc.double({ noDefaultInfinity: true, noNaN: true, min: -1e100, max: 1e100 }),
  fc.integer({ min: -3, max: 3 }),
  fc.constantFrom(0, -0, 5e-324, -5e-324, 1e100, -1e100),
)

const withMissing = fc.oneof({ weight: 9, arbitrary: numbers }, fc.constantFrom(NaN, Infinity, -Infinity))

void t.test('64-bit statistics by selection are those by sorting (seed 12)', (t) => {
  fc.assert(
    fc.property(fc.array(withMissing, { minLength: 1, maxLength: 60 }), (values) => {
      const naive = naiveStatistics(values, null)
      const ours = wideStatistics(whole(Float64Array.from(values)))
      if (naive.validCount === 0) return ours.validCount === 0 && ours.missingCount === values.length
      // Zero has two signs, which compare alike.
      const figures = ['validCount', 'missingCount', 'median', 'medianDeviation', 'minimum', 'maximum'] as const
      return figures.every((figure) => ours[figure] === naive[figure])
    }),
    { numRuns: 500, seed: 12 },
  )
  t.pass('500 samples')
  t.end()
})

void t.test('both ways of selecting give the same, of samples and of distances (seed 13)', (t) => {
  fc.assert(
    fc.property(fc.array(numbers, { minLength: 1, maxLength: 60 }), fc.option(numbers), (values, center) => {
      const input = whole(Float64Array.from(values))
      const bracket = middlesByBracket(input, values.length, center)
      const radix = middlesByRadix(input, values.length, center)
      return bracket?.lower === radix.lower && bracket.upper === radix.upper
    }),
    { numRuns: 500, seed: 13 },
  )
  t.pass('500 samples')
  t.end()
})

void t.test('many alike: more than can be kept or sorted', (t) => {
  const alike = new Float32Array(400_000).fill(7.25)
  t.equal(middlesByBracket(whole(alike), alike.length, null), undefined)
  t.strictSame(middlesByRadix(whole(alike), alike.length, null), { lower: 7.25, upper: 7.25 })
  t.match(wideStatistics(whole(alike)), { median: 7.25, medianDeviation: 0, mean: 7.25, atMaximumCount: 400_000 })
  const halves = Float64Array.from({ length: 400_000 }, (_, at) => (at % 2 === 0 ? -3 : 1 / 3))
  t.strictSame(middlesByRadix(whole(halves), halves.length, null), { lower: -3, upper: 1 / 3 })
  t.end()
})

void t.test('a picture whose sample misleads is still right', (t) => {
  // Every place that the sample looks at holds 0, all others 1000 to 1001.
  const samples = Float32Array.from({ length: 1 << 18 }, (_, at) => (at % 4 === 0 ? 0 : 1000 + (at % 1000) / 1000))
  t.equal(middlesByBracket(whole(samples), samples.length, null), undefined)
  const naive = naiveStatistics([...samples], null)
  t.match(wideStatistics(whole(samples)), { median: naive.median, medianDeviation: naive.medianDeviation })
  t.end()
})

void t.test('a frame-like picture of 200,000 pixels, as 32-bit floats and integers', (t) => {
  const random = seededRandom(14)
  const values = Array.from({ length: 200_001 }, () => random.normal(400_000, 1400))
  for (const samples of [Float32Array.from(values), Int32Array.from(values)]) {
    const naive = naiveStatistics([...samples], null)
    const ours = wideStatistics(whole(samples))
    const { mean, ...exact } = naive
    t.match(ours, exact)
    within(t, ours.mean, mean, 1e-6, 'mean')
  }
  t.end()
})

void t.test('lattices: every second pixel of every second row', (t) => {
  const samples = Int32Array.from({ length: 30 }, (_, at) => at)
  // Of a picture 6 wide: pixels 1, 3, 5 of rows 0, 2, 4.
  const lattices = [{ start: 1, stride: 2 as const, count: 3, rowStride: 12, rows: 3 }]
  const ours = wideStatistics({ samples, lattices, blank: 3 })
  t.match(ours, { validCount: 8, missingCount: 1, minimum: 1, maximum: 29, median: 16, mean: 16.5 })
  t.equal(countAtLeast({ samples, lattices, blank: 29 }, 15), 4)
  t.end()
})

void t.test('pixels just below the maximum: a whole sample at least for integers, none for floats', (t) => {
  const values = [0, 0, 0, 1, 2, 2]
  t.match(wideStatistics(whole(Int32Array.from(values))), { atMaximumCount: 2, nearMaximumCount: 1 })
  t.match(wideStatistics(whole(Float32Array.from(values))), { atMaximumCount: 2, nearMaximumCount: 0 })
  t.end()
})
