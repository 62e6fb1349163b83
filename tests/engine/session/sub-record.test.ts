import t from 'tap'
import { orderRecords } from '../../../src/engine/index.ts'
import { subs } from './subs.ts'

void t.test('subs in order stay as they are', (t) => {
  const log = subs(4)
  t.same(orderRecords(log), { subs: log, duplicates: 0, outOfOrder: false, overlapping: 0 })
  t.same(orderRecords([]).subs, [])
  t.end()
})

void t.test('out of order, twice, overlapping', (t) => {
  const [a, b, c] = subs(3)
  if (a === undefined || b === undefined || c === undefined) return
  const later = { ...b, electronsPerSecond: 7 }
  const log = orderRecords([c, b, a, later])
  t.same(log, { subs: [a, later, c], duplicates: 1, outOfOrder: true, overlapping: 0 }, 'the later entry stands')
  t.equal(orderRecords([a, { ...b, startSeconds: 60 }]).overlapping, 1)
  t.equal(orderRecords([a, { ...b, startSeconds: 119 }]).overlapping, 0, 'clocks may differ by a second')
  t.end()
})
