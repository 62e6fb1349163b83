// Where time went, and what is still missing: clocks that slip, two cameras, rates that are learnt, lengths that get there.

import t from 'tap'
import { efficiency } from '../../src/engine/index.ts'
import { near } from '../support/near.ts'
import { ask, filterOf, log, SETUP, sub, type Line } from './session-account-logs.ts'

const said = (explanation: readonly string[], part: string) => explanation.some((sentence) => sentence.includes(part))

void t.test('filters exposed at the same time each take all of their time', async (t) => {
  const filters = [{ label: 'Ha' }, { label: 'OIII' }]
  const subs = Array.from({ length: 40 }, (_, index) =>
    sub(Math.floor(index / 2) * 2.1, { filter: index % 2 === 0 ? 'Ha' : 'OIII' }),
  )
  const { answer } = await ask({ ...SETUP, filters, goal: { snr: 8, per: 'pixel' }, subs })
  for (const { clockSeconds, goal } of answer.filters) {
    near(t, clockSeconds, 20 * 120 + 19 * 6, 1e-9, 'its subs and their gaps')
    t.ok((goal?.atOwnRate?.clockSeconds ?? 0) >= (goal?.atOwnRate?.exposureSeconds ?? Infinity))
  }
  t.equal(answer.nights[0]?.clockSeconds, 20 * 120 + 19 * 6, 'the night is no longer for that')
  t.ok(said(answer.explanation, '20 lines overlap the sub before, as with two cameras'))
})

void t.test('a clock an hour back on one line is no pause, and a line out of order is no slip', async (t) => {
  const subs = Array.from({ length: 30 }, (_, index) => sub(index * 2.1))
  const slipped = subs.map((line, index) => (index === 5 ? sub(5 * 2.1 - 60) : line))
  const { answer } = await ask({ ...SETUP, subs: slipped })
  const whole = await ask({ ...SETUP, subs })
  t.notOk(answer.heldBack.some(({ factor }) => factor === 'pauses'))
  t.same(answer.nights, whole.answer.nights)
  t.same(answer.log.remarks.find(({ kind }) => kind === 'clock-backwards')?.lines, [5])
  const onOther = subs.map((line, index) => (index === 20 ? sub(20 * 2.1 - 31) : line))
  t.notOk(
    (await ask({ ...SETUP, subs: onOther })).answer.log.remarks.some(({ kind }) => kind === 'overlapping'),
    'onto another sub',
  )
  const swapped = [...subs.slice(0, 5), ...subs.slice(6, 9), ...subs.slice(5, 6), ...subs.slice(9)]
  const again = await ask({ ...SETUP, subs: swapped })
  t.same(again.answer.nights, whole.answer.nights)
  near(t, filterOf(again.answer).clockSeconds, filterOf(whole.answer).clockSeconds, 1e-9, 'where its time says')
})

void t.test('where the plan names no rate of interruptions, that of the log stands in and is said', async (t) => {
  const plan = { overheadSeconds: 6 }
  const goal = { snr: 60, per: 'pixel' }
  const subs = log(100).map((line, index) => ({ ...line, ...(index % 5 === 2 && { accepted: false }) }))
  const { answer } = await ask({ ...SETUP, plan, goal, subs })
  const rate = answer.interruptions.plan?.interruptionsPerHour as { value: number }
  const assumed = answer.assumptions.filter(({ pointer }) => pointer === '/plan/interruptionsPerHour')
  t.same(assumed, [
    { pointer: '/plan/interruptionsPerHour', value: rate.value, reason: 'not given: learnt from this log' },
  ])
  const given = await ask({ ...SETUP, plan: { ...plan, interruptionsPerHour: rate.value }, goal, subs })
  t.same(filterOf(answer).goal?.atReference, filterOf(given.answer).goal?.atReference)
  const short = await ask({ ...SETUP, plan, goal, subs: subs.slice(0, 10) })
  t.match(
    short.answer.assumptions.find(({ pointer }) => pointer === '/plan/interruptionsPerHour'),
    { value: 1 },
    'too short a log teaches nothing',
  )
  t.ok(said(short.answer.explanation, 'are too short to plan by, so there is no rate to send back'))
})

const NOISY = { ...SETUP, plan: { ...SETUP.plan, calibration: { darkFrames: 5 } } }

void t.test('where the usual length never gets there, a length of the log that does is told', async (t) => {
  const long = { subSeconds: 900 }
  const subs = Array.from({ length: 20 }, (_, index) => sub(index * 16, long))
  const plan = { ...NOISY.plan, subSeconds: 60 }
  const { answer } = await ask({ ...NOISY, plan, goal: { snr: 20, per: 'pixel' }, subs })
  const { goal, ceilingSnr } = filterOf(answer)
  t.ok((ceilingSnr ?? 0) > 20)
  t.equal(goal?.atReference?.subSeconds, 900)
  t.ok((goal?.atReference?.clockSeconds ?? 0) > 0)
  t.equal(goal?.atOwnRate?.subSeconds, null, 'the lengths of the log')
  t.ok(said(answer.explanation, 'under reference conditions in subs of 15 min; '))
  const own = await ask({ ...NOISY, goal: { snr: 20, per: 'pixel' }, subs: subs.slice(0, 10) })
  t.equal(filterOf(own.answer).goal?.atReference?.subSeconds, 900, 'the usual one where it does')
})

void t.test('a goal that only subs which differ reach is said to be one', async (t) => {
  const subs = Array.from({ length: 200 }, (_, index) =>
    sub(index * 2.1, { relativeStarFlux: index % 2 === 0 ? 1 : 0.1 }),
  )
  const { answer } = await ask({ ...NOISY, goal: { snr: 12, per: 'pixel' }, subs })
  const { goal, subs: every } = filterOf(answer)
  t.equal(every, undefined)
  t.equal(goal?.atReference, null)
  t.ok((goal?.atOwnRate?.clockSeconds ?? 0) > 0)
  t.ok(said(answer.explanation, 'for subs that are all alike; only unequal subs, weighted, get there: '))
  t.ok(
    said(
      answer.explanation,
      'take a weight below 0: they show the calibration error better than the target, so they are subtracted.',
    ),
  )
  t.ok((filterOf(answer).weights?.smallest ?? 0) < 0)
})

void t.test('what a median still misses goes by the number of subs there are at the end', async (t) => {
  const subs = [sub(0), sub(2.1), sub(4.2)]
  const plan = { ...SETUP.plan, combine: 'median' }
  const of = async (goal?: object) => filterOf((await ask({ ...SETUP, plan, goal, subs })).answer)
  const three = await of()
  const one = three.weighted.snr ** 2 / (3 * efficiency({ combine: 'median', count: 3 }))
  const snr = Math.sqrt(one * 40 * efficiency({ combine: 'median', count: 40 }))
  const { goal } = await of({ snr, per: 'pixel' })
  t.equal(goal?.atReference?.exposureSeconds, 37 * 120, 'forty in all')
})

void t.test('nights at either end of all years', async (t) => {
  const night = async (startedAt: string) => {
    const { status, answer } = await ask({ ...SETUP, subs: [{ startedAt, subSeconds: 120 }] })
    t.equal(status, 200, startedAt)
    return answer.nights.map(({ startedAt: from, endedAt }) => [from, endedAt])
  }
  t.same(await night('9999-12-31T00:00:00Z'), [['9999-12-31T00:00:00.000Z', '9999-12-31T00:02:00.000Z']])
  t.same(await night('9999-12-31T23:59:00Z'), [['9999-12-31T23:59:00.000Z', '9999-12-31T23:59:59.999Z']])
  t.same(await night('9999-12-31T23:59:00-05:00'), [['9999-12-31T23:59:59.999Z', '9999-12-31T23:59:59.999Z']])
  t.same(await night('0000-01-01T00:00:00+05:00'), [['0000-01-01T00:00:00.000Z', '0000-01-01T00:00:00.000Z']])
})

void t.test('a goal out of all reach is no number of hours', async (t) => {
  const subs: Line[] = log(40)
  const { answer } = await ask({ ...NOISY, goal: { snr: 1000, per: 'pixel' }, subs })
  t.match(filterOf(answer).goal, { atOwnRate: null, atReference: null })
})
