import t from 'tap'
import {} from '../../../src/engine/index.ts'
import { subsOfChance } from './models.ts'

void t.test('subs can be left out', (t) => {
  const subs = subsOfChance(6, 5)
  const kept = subs.without(new Set([0, 3]))
  t.equal(kept.count, 3)
  t.same(kept.at(0), subs.at(1))
  t.same(kept.at(2), subs.at(4))
  t.end()
})
