import t from 'tap'
import { bestLevels, blocksOf } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

void t.test('blocks of neighbours', (t) => {
  const series = (length: number) => ({
    seconds: Array.from({ length }, (_, i) => i),
    values: Array.from({ length }, (_, i) => (i === 4 ? 1000 : i)),
  })
  t.same(blocksOf(series(2)), [])
  t.same(blocksOf(series(7)), [
    { seconds: 1, level: 1 },
    { seconds: 4, level: 5 },
  ])
  t.equal(blocksOf(series(30)).length, 5)
  t.equal(blocksOf(series(60)).length, 6)
  t.equal(blocksOf(series(1600)).length, 16)
  t.end()
})

void t.test('the best level drifts harmlessly', (t) => {
  const blocks = [
    { seconds: 0, level: 10 },
    { seconds: 3600, level: 8.5 },
  ]
  const highest = bestLevels(blocks, [3600, 7200], { best: 'highest', sharePerHour: 0.1 })
  near(t, highest[0] ?? NaN, 9, 1e-12, 'older, higher')
  near(t, highest[1] ?? NaN, 8, 1e-12, 'two hours after')
  const steep = bestLevels(blocks, [7200], { best: 'highest', sharePerHour: 0.2 })
  near(t, steep[0] ?? NaN, 6.5, 1e-12, 'newer')
  const lowest = bestLevels(blocks, [0], { best: 'lowest', sharePerHour: 0.1 })
  near(t, lowest[0] ?? NaN, 9.35, 1e-12, 'lowest, ahead')
  t.ok(!Number.isFinite(bestLevels([], [0], { best: 'lowest', sharePerHour: 1 })[0]))
  t.end()
})

void t.test('one pass finds what going through all blocks finds', (t) => {
  const random = seededRandom(11)
  const blocks = Array.from({ length: 12 }, (_, i) => ({ seconds: 700 * i, level: 1 + random.normal(0, 0.3) }))
  const times = Array.from({ length: 50 }, (_, i) => 200 * i - 300)
  for (const [best, sign] of [
    ['highest', 1],
    ['lowest', -1],
  ] as const) {
    const most = Math.max(...blocks.map(({ level }) => sign * level))
    const drift = (0.3 / 3600) * Math.abs(most)
    const levels = bestLevels(blocks, times, { best, sharePerHour: 0.3 })
    times.forEach((time, place) => {
      const all = blocks.map(({ seconds, level }) => sign * level - drift * Math.abs(time - seconds))
      near(t, levels[place] ?? NaN, sign * Math.max(...all), 1e-9, `${best} at ${time}`)
    })
  }
  t.end()
})
