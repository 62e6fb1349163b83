import t from 'tap'
import { subsToDrop, subWeight } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

const dropsOf = (signals: Float64Array, variances: Float64Array) => {
  const weights = signals.map((signal, index) => subWeight({ signal, variance: variances[index] ?? NaN }))
  return subsToDrop({ signals, variances, weights })
}

const snrOf = (indices: readonly number[], signals: Float64Array, variances: Float64Array) => {
  const sum = (of: Float64Array) => indices.reduce((total, index) => total + (of[index] ?? NaN), 0)
  return sum(signals) / Math.sqrt(sum(variances))
}

void t.test('the best set of all 4,095, over sixty logs of chance', (t) => {
  const random = seededRandom(1)
  let dropping = 0
  for (let log = 0; log < 60; log++) {
    const signals = Float64Array.from({ length: 12 }, () => 10 * random.uniform() ** 3)
    const variances = Float64Array.from({ length: 12 }, () => 1 + 60 * random.uniform() ** 4)
    const all = [...signals.keys()]
    let best = 0
    for (let mask = 1; mask < 4096; mask++) {
      const set = all.filter((index) => (mask >> index) % 2 === 1)
      best = Math.max(best, snrOf(set, signals, variances))
    }
    const dropped = dropsOf(signals, variances)
    const kept = all.filter((index) => !dropped.includes(index))
    near(t, snrOf(kept, signals, variances), best, 1e-12, `log ${log}, ${dropped.length} dropped`)
    if (dropped.length > 0) dropping++
  }
  t.ok(dropping > 30, `${dropping} logs had something to drop`)
  t.end()
})

void t.test('the least useful comes first, and what costs nothing stays', (t) => {
  t.same(dropsOf(Float64Array.of(10, 0.1, 10, 0.5), Float64Array.of(20, 50, 20, 30)), [1, 3])
  t.same(dropsOf(Float64Array.of(10, 0), Float64Array.of(20, 0)), [], 'an empty sub without noise stays')
  t.same(dropsOf(Float64Array.of(5, 5, 5), Float64Array.of(9, 9, 9)), [], 'subs alike all stay')
  t.same(dropsOf(Float64Array.of(0, 0), Float64Array.of(9, 9)), [], 'without any light no set is better')
  t.same(dropsOf(Float64Array.of(), Float64Array.of()), [], 'nothing')
  t.end()
})
