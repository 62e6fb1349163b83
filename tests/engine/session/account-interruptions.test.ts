import t from 'tap'
import { interruptionRate as rateOfColumns, poissonInterval, type InterruptionCost } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

interface WatchedSub {
  subSeconds: number
  isSpoiled: boolean
  before: number
}

const interruptionRate = (subs: readonly WatchedSub[], cost: InterruptionCost) =>
  rateOfColumns(
    {
      subSeconds: Float64Array.from(subs, ({ subSeconds }) => subSeconds),
      isSpoiled: Uint8Array.from(subs, ({ isSpoiled }) => Number(isSpoiled)),
      before: Int32Array.from(subs, ({ before }) => before),
    },
    cost,
  )

/** A night of subs: `.` good, `-` spoiled. */
const subs = (pattern: string): WatchedSub[] =>
  pattern.split('').map((mark, index) => ({ subSeconds: 100, isSpoiled: mark === '-', before: index - 1 }))

void t.test('a run of spoiled subs is one interruption, and only time after a good sub is watched', (t) => {
  const rate = interruptionRate(subs('..-.---..'), 'found-afterwards')
  t.equal(rate.count, 2)
  t.equal(rate.watchedSeconds, 100 * (1 + 1 + 0.5 + 0.5 + 1), 'the good one after a spoiled one is not watched')
  near(t, rate.perHour ?? NaN, (2 * 3600) / 400, 1e-12, 'per hour')
  const { from, to } = poissonInterval({ count: 2, level: 'one-sigma' })
  near(t, rate.oneSigma?.from ?? NaN, from * 9, 1e-12, 'from')
  near(t, rate.oneSigma?.to ?? NaN, to * 9, 1e-12, 'to')
  t.ok((rate.ninetyFivePercent?.to ?? 0) > (rate.oneSigma?.to ?? Infinity))
  t.end()
})

void t.test('the first of a night is watched, whatever the night before ended with', (t) => {
  const night = [...subs('.-'), ...subs('-.').map((sub) => ({ ...sub, before: sub.before < 0 ? -1 : 2 }))]
  t.equal(interruptionRate(night, 'found-afterwards').count, 2)
  t.end()
})

void t.test('a clean camera between does not cut the run of another', (t) => {
  const both = subs('..---..').flatMap((sub): WatchedSub[] => [
    { ...sub, before: sub.before < 0 ? -1 : 2 * sub.before },
    { ...sub, isSpoiled: false, before: sub.before < 0 ? -1 : 2 * sub.before + 1 },
  ])
  const rate = interruptionRate(both, 'found-afterwards')
  t.equal(rate.count, 1)
  t.equal(rate.watchedSeconds, 100 * (2.5 + 1 + 7))
  t.end()
})

void t.test('an aborted sub ran for all of its length', (t) => {
  t.equal(interruptionRate(subs('.-'), 'aborted-at-once').watchedSeconds, 200)
  t.equal(interruptionRate(subs('.-'), 'found-afterwards').watchedSeconds, 150)
  t.end()
})

void t.test('a quiet log has a rate of nothing with an upper end, an empty one has none', (t) => {
  const quiet = interruptionRate(subs('....'), 'found-afterwards')
  t.equal(quiet.perHour, 0)
  t.equal(quiet.oneSigma?.from, 0)
  near(t, quiet.ninetyFivePercent?.to ?? NaN, -Math.log(0.025) * 9, 1e-12, 'up to')
  t.same(interruptionRate([], 'found-afterwards'), {
    count: 0,
    watchedSeconds: 0,
    perHour: null,
    oneSigma: null,
    ninetyFivePercent: null,
    expected: null,
  })
  t.end()
})

void t.test('events thrown at subs of mixed lengths are found again, clouds of an hour among them', (t) => {
  const random = seededRandom(7)
  const wait = () => -Math.log(1 - random.uniform()) * 1800
  const log: WatchedSub[] = []
  let clock = 0
  let next = wait()
  let clearAt = 0
  let begun = 0
  while (log.length < 200_000) {
    const subSeconds = log.length % 3 === 0 ? 60 : 180
    const end = clock + subSeconds
    let isSpoiled = clearAt > clock
    while (next < end) {
      begun++
      isSpoiled = true
      clearAt = Math.max(clearAt, next + (random.uniform() < 0.2 ? 3600 : 1))
      next += wait()
    }
    log.push({ subSeconds, isSpoiled, before: log.length - 1 })
    clock = end
  }
  const rate = interruptionRate(log, 'found-afterwards')
  t.ok(begun > 5000)
  near(t, rate.perHour ?? NaN, 2, 0.03, 'two an hour')
  const { from, to } = rate.ninetyFivePercent ?? { from: NaN, to: NaN }
  t.ok(from < 2 && to > 2, `${from} to ${to}`)
  t.end()
})

void t.test('the rate to plan by is the mean after Jeffreys’ prior, and none where little was watched', (t) => {
  const quiet = interruptionRate(subs('.'.repeat(72)), 'found-afterwards')
  near(t, quiet.expected?.perHour ?? NaN, 0.25, 1e-12, 'half of one in two hours, not never')
  near(t, quiet.expected?.standardUncertainty ?? NaN, Math.sqrt(0.5) / 2, 1e-12, 'its uncertainty')
  t.equal(interruptionRate(subs('.'.repeat(71)), 'found-afterwards').expected, null, 'less than two hours')
  const busy = interruptionRate(subs(`${'.-..'.repeat(36)}.`), 'found-afterwards')
  const hours = busy.watchedSeconds / 3600
  near(t, busy.expected?.perHour ?? NaN, 36.5 / hours, 1e-12, 'thirty-six')
  near(t, busy.expected?.standardUncertainty ?? NaN, Math.sqrt(36.5) / hours, 1e-12, 'its uncertainty')
  t.end()
})
