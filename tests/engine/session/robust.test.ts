import t from 'tap'
import { bendsOf, medianInPlace, medianOf, medianOfThree, scatterOfBends, valueAt } from '../../../src/engine/index.ts'
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
    return scatterOfBends(bendsOf(values), { deviation: 2, weight: 1 })
  })
  const mean = estimates.reduce((sum, one) => sum + one, 0) / estimates.length
  // The wild ones are left out, and 1/61 of the prior's variance is left.
  near(t, mean, 2 * Math.sqrt(1 + 1 / 61), 0.06, 'scatter')
  t.equal(scatterOfBends([], { deviation: 0.3, weight: 4 }), 0.3, 'the prior alone')
  near(t, scatterOfBends([0, 0, 0, 0], { deviation: 1, weight: 4 }), Math.SQRT1_2, 1e-12, 'halved variance')
  near(t, scatterOfBends([0, 5, 10, 5], { deviation: 1, weight: 4 }), Math.SQRT1_2, 1e-12, 'one wild value')
  t.equal(scatterOfBends([9, 9, 9], { deviation: 1, weight: 4 }), 1, 'three bends may all be wild')
  t.end()
})
