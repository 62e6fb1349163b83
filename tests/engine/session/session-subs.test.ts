import t from 'tap'
import { orderSubs } from '../../../src/engine/index.ts'
import { columnsOf, subs } from './subs.ts'

void t.test('subs in order stay as they are', (t) => {
  const columns = columnsOf(subs(4))
  const { subs: ordered, ...about } = orderSubs(columns)
  t.equal(ordered, columns)
  t.same(about, { duplicates: 0, outOfOrder: false, overlapping: 0 })
  t.same(orderSubs(columnsOf([])).subs, columnsOf([]))
  t.end()
})

void t.test('out of order, twice, overlapping', (t) => {
  const [a, b, c] = subs(3)
  if (a === undefined || b === undefined || c === undefined) return
  const later = { ...b, electronsPerSecond: 7 }
  const ordered = { ...columnsOf([a, later, c]), index: Float64Array.of(2, 3, 0) }
  const log = orderSubs(columnsOf([c, b, a, later]))
  t.same(log, { subs: ordered, duplicates: 1, outOfOrder: true, overlapping: 0 }, 'the later entry stands')
  const twice = orderSubs(columnsOf([a, b, later, c]))
  t.same([...twice.subs.index], [0, 2, 3], 'twice, in order')
  t.same([twice.duplicates, twice.outOfOrder], [1, false])
  t.equal(orderSubs(columnsOf([a, { ...b, startSeconds: 60 }])).overlapping, 1)
  t.equal(orderSubs(columnsOf([a, { ...b, startSeconds: 119 }])).overlapping, 0, 'clocks may differ by a second')
  t.end()
})
