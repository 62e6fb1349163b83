import t from 'tap'
import { bestLevel, BestLevels, bestLevels, blocksOf, type Block } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

void t.test('blocks of neighbours', (t) => {
  const series = (length: number) => ({
    seconds: Array.from({ length }, (_, i) => i),
    values: Array.from({ length }, (_, i) => (i === 4 ? 1000 : i)),
  })
  t.same(blocksOf(series(2)), [])
  t.same(blocksOf(series(7)), [
    { fromSeconds: 0, toSeconds: 2, level: 1 },
    { fromSeconds: 3, toSeconds: 5, level: 5 },
    { fromSeconds: 4, toSeconds: 6, level: 6 },
  ])
  t.equal(blocksOf(series(30)).length, 5)
  t.equal(blocksOf(series(60)).length, 7)
  t.equal(blocksOf(series(60)).at(-1)?.toSeconds, 57, 'two before the last of nine')
  t.equal(blocksOf(series(1600)).length, 16)
  t.equal(blocksOf(series(1601)).length, 16)
  t.end()
})

const HOUR = 3600

void t.test('the best level drifts harmlessly, by a share of itself and not without end', (t) => {
  const blocks = [
    { fromSeconds: 0, toSeconds: HOUR, level: 10 },
    { fromSeconds: 2 * HOUR, toSeconds: 2 * HOUR, level: 8.5 },
  ]
  const model = { best: 'highest', sharePerHour: 0.1, mostShare: 0.3 } as const
  const times = [0.5, 1.5, 2, 4, 100, 1e6].map((hours) => hours * HOUR)
  const highest = bestLevels(blocks, times, model)
  const expected = [10, 10 * Math.exp(-0.05), 10 * Math.exp(-0.1), 10 * Math.exp(-0.3), 7, 7]
  expected.forEach((level, place) => {
    near(t, highest[place] ?? NaN, level, 1e-12, `highest at ${times[place] ?? NaN}`)
  })
  const [steep] = bestLevels(blocks, [3 * HOUR], { ...model, sharePerHour: 0.2 })
  near(t, steep ?? NaN, 7, 1e-12, 'newer, and the bound')
  const lowest = bestLevels(blocks, [-1e9, HOUR], { best: 'lowest', sharePerHour: 0.1, mostShare: 0.3 })
  near(t, lowest[0] ?? NaN, 8.5 * 1.3, 1e-12, 'lowest, bound')
  near(t, lowest[1] ?? NaN, 8.5 * Math.exp(0.1), 1e-12, 'lowest, ahead')
  t.equal(bestLevel(blocks, 'highest'), 10)
  t.equal(bestLevel(blocks, 'lowest'), 8.5)
  t.ok(!Number.isFinite(bestLevels([], [0], { ...model, best: 'lowest' })[0]))
  t.ok(!Number.isFinite(bestLevels([], [0], model)[0]))
  t.end()
})

void t.test('one pass finds what going through all blocks finds', (t) => {
  const random = seededRandom(11)
  const blocks = Array.from({ length: 12 }, (_, i): Block => {
    const fromSeconds = 1700 * i
    return { fromSeconds, toSeconds: fromSeconds + (i % 3 === 0 ? 2000 : 900), level: 1 + random.normal(0, 0.3) }
  })
  const times = Array.from({ length: 90 }, (_, i) => 250 * i - 300)
  for (const [best, sign] of [
    ['highest', 1],
    ['lowest', -1],
  ] as const) {
    const most = sign * Math.max(...blocks.map(({ level }) => sign * level))
    const levels = bestLevels(blocks, times, { best, sharePerHour: 0.3, mostShare: 0.25 })
    times.forEach((time, place) => {
      const all = blocks.map(({ fromSeconds, toSeconds, level }) => {
        const away = Math.max(0, fromSeconds - time, time - toSeconds)
        return sign * level * Math.exp((-sign * 0.3 * away) / HOUR)
      })
      const expected = sign * Math.max(...all, sign * most * (1 - sign * 0.25))
      near(t, levels[place] ?? NaN, expected, 1e-9, `${best} at ${time}`)
    })
  }
  t.end()
})

void t.test('times may be left out without changing the level at the others', (t) => {
  const blocks = [5, 9, 4, 8, 7].map((level, i): Block => {
    return { fromSeconds: 3000 * i, toSeconds: 3000 * i + 1800, level }
  })
  const times = Array.from({ length: 50 }, (_, i) => 400 * i - 1000)
  for (const best of ['highest', 'lowest'] as const) {
    const model = { best, sharePerHour: 0.2, mostShare: 0.5 }
    const all = bestLevels(blocks, times, model)
    const few = new BestLevels(blocks, model)
    for (let place = 3; place < times.length; place += 11) {
      t.equal(few.at(times[place] ?? NaN), all[place], `${best} at ${times[place] ?? NaN}`)
    }
  }
  t.end()
})
