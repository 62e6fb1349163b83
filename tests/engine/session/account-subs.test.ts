import t from 'tap'
import { AccountSubs } from '../../../src/engine/index.ts'
import { chanceSub, subAt } from './models.ts'
import { seededRandom } from '../../support/random.ts'

void t.test('subs come back as they went in', (t) => {
  const subs = Array.from({ length: 5 }, (_, index) => chanceSub(seededRandom(index), 3))
  const columns = AccountSubs.of(...subs)
  t.equal(columns.count, 5)
  subs.forEach((sub, index) => t.same(subAt(columns, index), sub))
  t.end()
})
