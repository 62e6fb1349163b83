import t from 'tap'
import { epochReader } from '../../src/setup/epoch.ts'
import { seededRandom } from '../support/random.ts'

void t.test('times in any order are those that Date.parse reads, to the last digit', (t) => {
  const random = seededRandom(8)
  const epochOf = epochReader()
  const between = (from: string, to: string) =>
    Date.parse(from) + random.uniform() * (Date.parse(to) - Date.parse(from))
  for (let time = 0; time < 2000; time++) {
    const milliseconds = Math.floor(
      time % 4 === 0 ? between('1900-01-01', '2100-01-01') : between('2026-11-21', '2026-11-23'),
    )
    const text = new Date(milliseconds).toISOString()
    const written = time % 3 === 0 ? text.replace(/\.\d+Z$/, 'Z') : time % 3 === 1 ? text : text.replace('Z', '+05:30')
    if (epochOf(written) !== Date.parse(written) / 1000) t.fail(written)
  }
  t.end()
})

void t.test('what is finer than a millisecond counts', (t) => {
  const epochOf = epochReader()
  const second = Date.parse('2026-11-21T19:42:10Z') / 1000
  t.equal(epochOf('2026-11-21T19:42:10.5Z'), second + 0.5)
  t.equal(epochOf('2026-11-21T19:42:10.1234Z'), second + 0.1234)
  t.equal(epochOf('2026-11-21T20:42:10+01:00'), second)
  t.end()
})
