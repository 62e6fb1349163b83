import t from 'tap'
import {
  BEND_GAIN,
  bendsOf,
  DEPARTURE_GAIN,
  departureAt,
  FEWEST_IN_PAIRS,
  medianInPlace,
  medianOf,
  medianOfThree,
  MOST_IN_PAIRS,
  scatterOf,
  scatterOfPairs,
  valueAt,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

void t.test('medians', (t) => {
  t.equal(medianOf([3, 1, 2]), 2)
  t.equal(medianOf([4, 1, 3, 2]), 2.5)
  t.ok(Number.isNaN(medianOf([])))
  const given = Float64Array.of(3, 1, 2)
  t.equal(medianOf(given), 2)
  t.same([...given], [3, 1, 2], 'stays in order')
  t.equal(medianInPlace(Float64Array.of(4, 1, 3, 2)), 2.5)
  t.same([valueAt([1], -1), valueAt([1], 0), valueAt([1], 1)], [NaN, 1, NaN], 'nothing beyond either end')
  const random = seededRandom(7)
  for (let length = 1; length < 40; length++) {
    const values = Array.from({ length }, () => Math.round(random.normal(0, 3)))
    const sorted = [...values].sort((a, b) => a - b)
    const middle = (valueAt(sorted, (length - 1) >> 1) + valueAt(sorted, length >> 1)) / 2
    t.equal(medianOf(values), middle, `of ${length}`)
  }
  for (const [a, b, c] of [
    [1, 2, 3],
    [3, 2, 1],
    [2, 3, 1],
    [1, 3, 2],
  ] as const) {
    t.equal(medianOfThree(a, b, c), 2)
  }
  t.end()
})

void t.test('bends vanish on a line, and are the second differences elsewhere', (t) => {
  t.same(bendsOf([1, 3, 5, 7]), [0, 0])
  t.same(bendsOf([1, 4, 9, 16]), [2, 2])
  t.same(bendsOf([1, 2]), [])
  t.equal(bendsOf(new Array<number>(100).fill(1)).length, 60, 'the last of many')
  t.end()
})

void t.test('the scatter of normal values about a slope with wild ones among them', (t) => {
  const random = seededRandom(5)
  const estimates = Array.from({ length: 200 }, () => {
    const values = Array.from({ length: 62 }, (_, i) => 3 * i + random.normal(0, 2) + (i % 12 === 0 ? 100 : 0))
    return scatterOf(bendsOf(values), BEND_GAIN, { deviation: 2, weight: 1 })
  })
  const mean = estimates.reduce((sum, one) => sum + one, 0) / estimates.length
  // The wild ones are left out, and 1/61 of the prior's variance is left.
  near(t, mean, 2 * Math.sqrt(1 + 1 / 61), 0.06, 'scatter')
  t.equal(scatterOf([], BEND_GAIN, { deviation: 0.3, weight: 4 }), 0.3, 'the prior alone')
  near(t, scatterOf([0, 0, 0, 0], BEND_GAIN, { deviation: 1, weight: 4 }), Math.SQRT1_2, 1e-12, 'halved variance')
  near(t, scatterOf([0, 5, 10, 5], BEND_GAIN, { deviation: 1, weight: 4 }), Math.SQRT1_2, 1e-12, 'one wild value')
  t.equal(scatterOf([9, 9, 9], BEND_GAIN, { deviation: 1, weight: 4 }), 1, 'three bends may all be wild')
  t.end()
})

const departuresOf = (values: number[]) => values.slice(3, -3).map((_, index) => departureAt(values, index + 3))

void t.test('departures vanish on a line, and a wild neighbour spoils none', (t) => {
  t.equal(departureAt([0, 1, 2, 3, 4, 5, 6, 7], 4), 0)
  t.equal(departureAt([1, 2, 3, 9, 5, 6, 7], 3), 5)
  t.equal(departureAt([1, 90, 3, 4, 5, 6, 80], 3), -0.5, 'by the step between its neighbours at most')
  t.ok(Number.isNaN(departureAt([1, NaN, 3, 4, 5, 6, 7], 3)))
  t.ok(Number.isNaN(departureAt([1, 2, 3, 4, 5, 6], 3)), 'too few after it')
  const random = seededRandom(11)
  const values = Array.from({ length: 40_000 }, () => random.normal(0, 3))
  const departures = departuresOf(values)
  const deviation = Math.sqrt(departures.reduce((sum, one) => sum + one * one, 0) / departures.length)
  near(t, deviation, 3 * DEPARTURE_GAIN, 0.02, 'as many times the deviation of a value')
  t.end()
})

/** Mean and extremes, all but one of a hundred on either side, of what many short series are said to scatter by. */
function estimated(make: (random: ReturnType<typeof seededRandom>) => number) {
  const random = seededRandom(12)
  const estimates = Array.from({ length: 1000 }, () => make(random)).sort((a, b) => a - b)
  const mean = estimates.reduce((sum, one) => sum + one, 0) / estimates.length
  return { mean, low: valueAt(estimates, 10), high: valueAt(estimates, 990) }
}

const BELIEVED = { deviation: 1, weight: 3 }

void t.test('lights in every sixth value add little to the scatter of departures, and double that of bends', (t) => {
  const make = (random: ReturnType<typeof seededRandom>) =>
    Array.from({ length: 30 }, (_, index) => random.normal(0, 1) + (index % 6 === 2 ? 8 : 0))
  const ofDepartures = estimated((random) => scatterOf(departuresOf(make(random)), DEPARTURE_GAIN, BELIEVED))
  t.ok(ofDepartures.mean > 1 && ofDepartures.mean < 1.3, `mean ${ofDepartures.mean}`)
  t.ok(ofDepartures.high < 2.2, `at most ${ofDepartures.high}`)
  t.ok(estimated((random) => scatterOf(bendsOf(make(random)), BEND_GAIN, BELIEVED)).mean > 2)
  t.end()
})

void t.test('values in coarse steps, most of them alike, are not said to stand still', (t) => {
  const make = (random: ReturnType<typeof seededRandom>) =>
    Array.from({ length: 62 }, () => Math.round(random.normal(0, 0.8)))
  const believed = { deviation: 0.8, weight: 3 }
  const { low } = estimated((random) => scatterOf(bendsOf(make(random)), BEND_GAIN, believed))
  t.ok(low > 0.6, `at least ${low}`)
  t.end()
})

// The factors are those of the publication if normal values come out at their deviation.
void t.test('Rousseeuw & Croux 1993: pairs of a few values, nearly half of them wild', (t) => {
  const pairs = (values: number[]) =>
    Float64Array.from(values.flatMap((a, index) => values.slice(0, index).map((b) => Math.abs(a - b))))
  const nothing = { deviation: 1e-9, weight: 1 }
  for (let count = FEWEST_IN_PAIRS; count <= MOST_IN_PAIRS; count++) {
    const make = (random: ReturnType<typeof seededRandom>, wild: number) =>
      pairs(Array.from({ length: count }, (_, index) => random.normal(0, 2) + (index < wild ? 50 * (index + 1) : 0)))
    const of = (wild: number) => estimated((random) => scatterOfPairs(make(random, wild), count, nothing))
    near(t, of(0).mean, 2, 0.03, `${count} values`)
    t.ok(of((count - 1) >> 1).high < 20, `${(count - 1) >> 1} of ${count} wild, by 50 and more`)
    const alike = new Float64Array((count * (count - 1)) / 2)
    near(t, scatterOfPairs(alike, count, BELIEVED), Math.sqrt(3 / (3 + count)), 1e-12, 'what was believed')
  }
  t.end()
})
