import t from 'tap'
import { inOrder } from '../../../src/engine/session/in-order.ts'
import { seededRandom } from '../../support/random.ts'

void t.test('the order is that of sorting by a function, for columns of any length', (t) => {
  const random = seededRandom(3)
  for (const count of [0, 1, 2, 3, 100, 1024, 1025, 100_000]) {
    const values = Float64Array.from({ length: count }, () => random.uniform() ** 4 * 1e-3)
    const order = inOrder(values)
    t.equal(new Set(order).size, count, 'each once')
    const atMost = 1e-9 * Math.max(0, ...values.subarray(0, 1000), values[order.at(-1) ?? 0] ?? 0)
    const isRising = order.every((index, place) => {
      const before = place === 0 ? -Infinity : (values[order[place - 1] ?? 0] ?? NaN)
      return (values[index] ?? NaN) >= before - atMost
    })
    t.ok(isRising, `${count} values`)
  }
  t.end()
})

void t.test('equal values go by their indices', (t) => {
  t.same([...inOrder(Float64Array.of(3, 1, 3, 0, 1, 0))], [3, 5, 1, 4, 0, 2])
  t.same([...inOrder(new Float64Array(3))], [0, 1, 2])
  t.end()
})
