import t from 'tap'
import type { z } from 'zod'
import type { SessionCheckAnswerSchema } from '../../src/contract/session-check-answer.ts'
import type { SessionCheckRequestSchema } from '../../src/contract/session-check.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Answer = z.infer<typeof SessionCheckAnswerSchema>
type Request = z.input<typeof SessionCheckRequestSchema>
type Sub = Request['subs'][number]

const send = await asker([sessionCheck])
const ask = (body: object) => send<Answer>('/v1/session-check', body)

const START = Date.UTC(2026, 10, 14, 21)
const at = (seconds: number) => new Date(START + seconds * 1000).toISOString()

const BASE = {
  camera: {
    readNoiseElectrons: 1.6,
    electronsPerAdu: 0.25,
    offsetAdu: 500,
    bitDepth: 16,
    fullWellElectrons: 16000,
    darkCurrent: { electronsPerPixelSecond: 0.002, atCelsius: -10, doublingCelsius: 6 },
    temperatureCelsius: -10,
  },
  sky: { electronsPerPixelSecond: 1 },
  target: { electronsPerPixelSecond: 0.1 },
  plan: { overheadSeconds: 6, subSeconds: 120, subLadderSeconds: [60, 120, 300] },
  goal: { snr: 30, per: 'pixel' },
} as const

/** Subs of two minutes, one every 126 s, of a sky of 1.003 electrons per second but for what a test changes. */
function subs(count: number, change: (index: number) => Partial<Sub> = () => ({})): Sub[] {
  return Array.from({ length: count }, (_, index) => ({
    startedAt: at(index * 126),
    subSeconds: 120,
    backgroundAdu: 981 + (index % 2),
    relativeStarFlux: 1,
    relativeFwhm: 1,
    sensorCelsius: -10,
    ...change(index),
  }))
}

const from = (start: number, change: Partial<Sub>) => (index: number) => (index >= start ? change : {})

const names = ({ conditions }: Answer) => conditions.map(({ name }) => name)
const said = ({ explanation }: Answer) => explanation.join(' ')

void t.test('before the first sub: the plan’s own advice, and what the goal takes', async (t) => {
  const { status, answer } = await ask({ ...BASE, subs: [] })
  t.equal(status, 200)
  t.match(answer, { action: 'keep', subSeconds: 120, snr: 0, tryAgainAt: null, conditions: [], doubtfulSubs: [] })
  t.match(answer.reason, /^No sub yet/)
  t.match(said(answer), /No sub kept yet\./)
  const one = 12 ** 2 / (12 + 120 + 0.24 + 2.56)
  t.equal(answer.filters[0]?.subsToGoal, Math.ceil(900 / one))
  t.equal(answer.remaining?.endsAt, null, 'there is no clock to count from')
})

void t.test('the ratio so far is the root of the sum of squares', async (t) => {
  const { answer } = await ask({ ...BASE, subs: subs(10) })
  const background = (adu: number) => (adu - 500) * 0.25
  const one = (adu: number) => 12 ** 2 / (12 + background(adu) + 2.56)
  near(t, answer.snr ?? NaN, Math.sqrt(5 * one(981) + 5 * one(982)), 1e-9, 'optimal weights')
  const dim = subs(10, (i) => (i % 2 === 1 ? { relativeStarFlux: 0.5 } : {}))
  const half = { signal: 6, variance: 6 + background(982) + 2.56 }
  const weighted = await ask({ ...BASE, subs: dim })
  near(t, weighted.answer.snr ?? NaN, Math.sqrt(5 * one(981) + (5 * half.signal ** 2) / half.variance), 1e-9, 'dimmed')
  const equal = await ask({ ...BASE, weights: 'equal', subs: dim })
  const variance = 5 * (12 + background(981) + 2.56) + 5 * half.variance
  near(t, equal.answer.snr ?? NaN, (5 * 12 + 5 * 6) / Math.sqrt(variance), 1e-9, 'all alike')
  const before = await ask({ ...BASE, collectedSnr: 4, subs: subs(10) })
  near(t, before.answer.snr ?? NaN, Math.hypot(4, answer.snr ?? NaN), 1e-9, 'with what was collected before')
})

void t.test('the end comes at the pace of the subs themselves, rejected ones included', async (t) => {
  const { answer } = await ask({ ...BASE, subs: subs(20) })
  const { remaining, filters } = answer
  t.equal(remaining?.subCount, filters[0]?.subsToGoal)
  t.equal(remaining?.clockSeconds, 126 * (remaining?.subCount ?? NaN))
  t.equal(Date.parse(remaining?.endsAt ?? ''), START + (19 * 126 + 120 + (remaining?.clockSeconds ?? NaN)) * 1000)
  const slow = await ask({ ...BASE, subs: subs(20, (i) => ({ accepted: i % 2 === 0 })) })
  t.equal(slow.answer.remaining?.clockSeconds, 252 * (slow.answer.remaining?.subCount ?? NaN))
  t.match(said(slow.answer), /Rejected: 10 of 20 subs/)
  const dawn = await ask({ ...BASE, endsAt: at(20 * 126 + 1260), subs: subs(20) })
  t.match(dawn.answer.remaining, { setBy: 'end', subCount: 10, integrationSeconds: 1200 })
})

void t.test('what is missing goes by the weights: a plain sum must carry the dim subs on', async (t) => {
  const dim = subs(30, (i) => (i < 20 ? { backgroundAdu: 981 } : { backgroundAdu: 981, relativeStarFlux: 0.2 }))
  const one = (flux: number) => ({ signal: 12 * flux, variance: 12 * flux + 120.25 + 2.56 })
  for (const [weights, snrAfter] of [
    [
      'equal',
      (more: number) =>
        (20 * 12 + (10 + more) * 2.4) / Math.sqrt(20 * one(1).variance + (10 + more) * one(0.2).variance),
    ],
    [
      'optimal',
      (more: number) => Math.sqrt((20 * 12 ** 2) / one(1).variance + ((10 + more) * 2.4 ** 2) / one(0.2).variance),
    ],
  ] as const) {
    const { answer } = await ask({ ...BASE, goal: { snr: 8, per: 'pixel' }, weights, subs: dim })
    let count = 0
    while (snrAfter(count) < 8) count++
    t.equal(answer.subSeconds, 120)
    t.equal(answer.filters[0]?.subsToGoal, count, weights)
    t.equal(answer.remaining?.subCount, count)
  }
})

void t.test('a constant sky is worth the same all night, and another night after it', async (t) => {
  const shareOf = async (list: Sub[]) => (await ask({ ...BASE, subs: list })).answer.present.informationShare
  const level = (i: number) => ({ backgroundAdu: 981, relativeStarFlux: i < 20 ? 1 : 0.6 })
  const early = await shareOf(subs(30, level))
  near(t, await shareOf(subs(140, level)), early, 1e-9, 'haze, four hours on')
  t.ok(early > 0.3 && early < 0.45)
  near(t, await shareOf(subs(2500, () => ({ backgroundAdu: 981 }))), 1, 0.01, '2500 clear subs')
  for (const hours of [24, 72, 8760]) {
    const later = (flux: number) => (i: number) =>
      i < 40 ? {} : { startedAt: at(i * 126 + hours * 3600), relativeStarFlux: flux }
    const clear = await ask({ ...BASE, subs: subs(43, later(1)) })
    t.match(clear.answer, { action: 'keep', conditions: [] })
    near(t, clear.answer.present.informationShare, 1, 0.02, `clear ${hours} h later`)
    const covered = await ask({ ...BASE, subs: subs(43, later(0.15)) })
    t.match(covered.answer, { action: 'pause', conditions: [{ name: 'cloud' }] })
  }
  const faint = { relativeStarFlux: 1e-9, backgroundAdu: undefined }
  const jump = await ask({ ...BASE, subs: subs(2, (i) => (i === 0 ? faint : { startedAt: at(36000) })) })
  t.equal(jump.status, 200)
})

void t.test('set-up and a few backgrounds are a whole question', async (t) => {
  const few = [0, 1, 2, 3].map((i) => ({ startedAt: at(i * 66), subSeconds: 60, backgroundAdu: 548 }))
  const { status, answer } = await ask({
    camera: { readNoiseElectrons: 3, electronsPerAdu: 1, offsetAdu: 500 },
    subs: few,
  })
  t.equal(status, 200)
  t.equal(answer.action, 'lengthen')
  t.equal(answer.snr, null)
  t.equal(answer.darks, null)
  t.ok(answer.gain > 0.1)
  const sky = answer.assumptions.find(({ pointer }) => pointer === '/sky/electronsPerPixelSecond')
  t.equal(sky?.value, 0.8)
  t.match(
    answer.assumptions.find(({ pointer }) => pointer === '/plan/overheadSeconds'),
    { value: 6 },
  )
  const { errors } = await ask({ camera: { readNoiseElectrons: 3 }, subs: [{ startedAt: at(0), subSeconds: 60 }] })
  t.same(errors, ['/sky: missing: give the sky, or the background of at least one sub through this filter'])
  const camera = { readNoiseElectrons: 3, electronsPerAdu: 1, offsetAdu: 500 }
  const filters = [{ label: 'L' }, { label: 'R' }]
  const none = await ask({ camera, filters, subs: [] })
  t.same(none.errors, [
    '/filters/0/sky: missing: give the sky, or the background of at least one sub through this filter',
    '/filters/1/sky: missing: give the sky, or the background of at least one sub through this filter',
  ])
  const two = await ask({
    camera,
    filters,
    subs: few.map((sub, i) => ({ ...sub, filter: i < 2 ? 'L' : 'R', backgroundAdu: i < 2 ? 548 : 518 })),
  })
  t.same(
    two.answer.assumptions
      .filter(({ pointer }) => pointer.includes('sky'))
      .map(({ pointer, value }) => [pointer, value]),
    [
      ['/filters/0/sky/electronsPerPixelSecond', 0.8],
      ['/filters/1/sky/electronsPerPixelSecond', 0.3],
    ],
  )
})

void t.test('lengthens and shortens where that is worth more than the stated gain', async (t) => {
  const camera = { ...BASE.camera, readNoiseElectrons: 5 }
  const longer = await ask({ ...BASE, camera, subs: subs(6) })
  t.match(longer.answer, { action: 'lengthen', subSeconds: 300 })
  t.match(longer.answer.reason, /^At the sky as it is, subs of 5 min gather \d+ % more information an hour\.$/)
  const stays = await ask({ ...BASE, camera, minimumGain: longer.answer.gain * 1.01, subs: subs(6) })
  t.match(stays.answer, { action: 'keep', subSeconds: 120 })
  const bright = subs(8, (i) => ({ backgroundAdu: 981 + 30000 * Math.min(1, i / 3) }))
  const shorter = await ask({ ...BASE, subs: bright })
  t.match(shorter.answer, { action: 'keep', subSeconds: 120 }, 'half the well is not reached')
  const tooBright = await ask({ ...BASE, subs: subs(8, () => ({ backgroundAdu: 40500 })) })
  t.match(tooBright.answer, { action: 'shorten', subSeconds: 60 })
  t.match(tooBright.answer.reason, /hard bound/)
  const farTooBright = await ask({ ...BASE, subs: subs(8, () => ({ backgroundAdu: 64000 })) })
  t.match(farTooBright.answer, { action: 'shorten', subSeconds: 60 })
})

void t.test('what only the next sub can tell is not told before', async (t) => {
  const risen = (i: number) => (i > 18 ? { backgroundAdu: 981 + 70 * (i - 18) } : {})
  t.same(names((await ask({ ...BASE, subs: subs(20, risen) })).answer), [], 'a Moon that rises, or a weak light')
  t.same(names((await ask({ ...BASE, subs: subs(24, risen) })).answer), ['moonlight'])
  const weak = subs(21, (i) => (i === 19 ? { backgroundAdu: 1051 } : {}))
  t.same(names((await ask({ ...BASE, subs: weak })).answer), ['passing-light'])
})

void t.test('names what goes on, first thing in the reason', async (t) => {
  const cloud = await ask({ ...BASE, subs: subs(20, from(17, { relativeStarFlux: 0.5, backgroundAdu: 1200 })) })
  t.same(names(cloud.answer), ['cloud'])
  t.match(cloud.answer.reason, /^Cloud: /)
  t.equal(cloud.answer.conditions[0]?.since, at(17 * 126))
  t.equal(cloud.answer.conditions[0]?.subCount, 3)
  const moon = await ask({ ...BASE, subs: subs(30, (i) => ({ backgroundAdu: 981 + 20 * Math.max(0, i - 15) })) })
  t.same(names(moon.answer), ['moonlight'])
  const car = await ask({ ...BASE, subs: subs(20, (i) => (i === 19 ? { backgroundAdu: 1300 } : {})) })
  t.same(names(car.answer), ['passing-light'])
  t.equal(car.answer.action, 'keep')
  t.equal(car.answer.doubtfulSubs[0]?.index, 19)
  const frost = await ask({ ...BASE, subs: subs(20, from(16, { relativeStarFlux: 0.7, relativeFwhm: 1.5 })) })
  t.same(names(frost.answer), ['frost'])
  t.match(frost.answer.reason, /^Frost or dew, clear and warm the optics: /)
  const wide = await ask({ ...BASE, subs: subs(20, from(16, { relativeFwhm: 1.5 })) })
  t.same(names(wide.answer), ['wide-stars'])
  t.match(said(wide.answer), /seeing, focus or guiding/)
  const unknown = subs(30, (i) => ({ backgroundAdu: 981 + 20 * Math.max(0, i - 15), relativeStarFlux: undefined }))
  t.same(names((await ask({ ...BASE, subs: unknown })).answer), ['brighter-background'])
})

void t.test('a warm sensor, and which darks still match', async (t) => {
  const darks = [
    { celsius: -10, subSeconds: 120 },
    { celsius: -10, subSeconds: 300 },
    { celsius: -2, subSeconds: 60 },
  ]
  const { answer } = await ask({ ...BASE, darks, subs: subs(20, from(12, { sensorCelsius: -2 })) })
  t.same(names(answer), ['cooling-failure'])
  t.same(answer.darks, { celsius: -2, match: false, matchingSubSeconds: [60] })
  t.match(said(answer), /take darks at this temperature/)
  near(t, answer.present.darkElectronsPerPixelSecond, 0.002 * 2 ** (8 / 6), 1e-9, 'dark current')
  t.match(said(answer), /Your darks that match a sensor at −2 °C are of 1 min, none of 2 min: /)
  const seconds = [...darks, { celsius: -2, subSeconds: 45 }]
  const odd = await ask({ ...BASE, darks: seconds, subs: subs(20, from(12, { sensorCelsius: -2 })) })
  t.match(said(odd.answer), /are of 45, 60 s, none of 120 s: /)
  const none = await ask({ ...BASE, darks: darks.slice(0, 2), subs: subs(20, from(12, { sensorCelsius: -2 })) })
  t.match(said(none.answer), /No darks match a sensor at −2 °C: take darks/)
  const held = await ask({ ...BASE, darks, subs: subs(20) })
  t.same(held.answer.darks, { celsius: -10, match: true, matchingSubSeconds: [120, 300] })
  const planned = await ask({ ...BASE, subs: subs(20, from(12, { sensorCelsius: -2 })) })
  t.same(planned.answer.darks, { celsius: -2, match: false, matchingSubSeconds: [] })
  t.match(
    said(planned.answer),
    /Darks of the set-point, −10 °C, do not match a sensor at −2 °C: take darks at this temperature/,
  )
  t.notOk(/Your darks|No darks/.test(said(planned.answer)), 'of which nobody said a word')
  const uncooled = { like: 'unmodified-consumer', temperatureCelsius: 14 }
  const drift = await ask({
    ...BASE,
    camera: uncooled,
    subs: subs(20, (i) => ({ backgroundAdu: 2000, sensorCelsius: 14 + i / 4 })),
  })
  t.same(names(drift.answer), ['temperature-drift'])
})

void t.test('a clipped background asks for shorter subs', async (t) => {
  const camera = { ...BASE.camera, bitDepth: undefined, fullWellElectrons: undefined }
  const clipped = await ask({ ...BASE, camera, subs: subs(6, from(5, { clippedShare: 0.5 })) })
  t.match(clipped.answer, { action: 'shorten', subSeconds: 60 })
  t.same(names(clipped.answer), ['clipped-background'])
  t.match(clipped.answer.doubtfulSubs, [{ index: 5, cause: 'clipped-background', informationShare: 0, keep: false }])
  const top = await ask({ ...BASE, subs: subs(6, from(4, { backgroundAdu: 64400 })) })
  t.match(top.answer, { action: 'shorten', subSeconds: 60 })
})

void t.test('pauses while an hour is worth next to nothing, and finishes', async (t) => {
  const thick = subs(20, from(16, { relativeStarFlux: 0.05, backgroundAdu: 1200 }))
  const pause = await ask({ ...BASE, subs: thick })
  t.equal(pause.answer.action, 'pause')
  t.equal(pause.answer.tryAgainAt, at(19 * 126 + 120 + 120))
  const late = await ask({ ...BASE, endsAt: at(20 * 126 + 180), subs: thick })
  const again = { action: 'pause', subSeconds: 60, tryAgainAt: at(19 * 126 + 120 + 120) }
  t.match(late.answer, again, 'after the pause a shorter one still fits')
  const end = 19 * 126 + 120
  const afterPause = 'An hour now is worth next to nothing, and after a pause no further sub ends in time.'
  const tooLate = await ask({ ...BASE, endsAt: at(end + 179), subs: thick })
  t.match(tooLate.answer, { action: 'finish', reason: afterPause, remaining: { subCount: 0, setBy: 'end' } })
  const over = await ask({ ...BASE, endsAt: at(end + 59), subs: thick })
  t.match(over.answer, { action: 'finish', reason: 'No further sub ends in time.' })
  const plan = { overheadSeconds: 6, subSeconds: 120 }
  const without = await ask({ ...BASE, plan, minimumGain: 10, endsAt: at(end + 119), subs: subs(20) })
  t.match(without.answer, { action: 'finish', reason: 'No sub of the advised length ends in time.' })
  const blind = subs(5, () => ({ accepted: false, relativeStarFlux: undefined }))
  const rejected = await ask({ ...BASE, subs: blind })
  t.match(rejected.answer, { action: 'pause', snr: 0 })
  t.match(said(rejected.answer), /Rejected: 5 of 5 subs/)
  const reached = await ask({ ...BASE, goal: { snr: 3, per: 'pixel' }, subs: subs(20) })
  t.match(reached.answer, {
    action: 'finish',
    reason: 'The goal is reached.',
    remaining: { subCount: 0, setBy: 'goal' },
  })
  const last = await ask({ ...BASE, endsAt: at(19 * 126 + 120 + 90), subs: subs(20) })
  t.match(last.answer, { action: 'shorten', subSeconds: 60 })
  t.match(last.answer.reason, /longest that still ends in time/)
  const dawn = await ask({
    ...BASE,
    plan: { ...BASE.plan, subLadderSeconds: [120] },
    subs: subs(6, () => ({ backgroundAdu: 60000 })),
  })
  t.match(dawn.answer, { action: 'pause', subSeconds: 120 })
  t.match(dawn.answer.reason, /too bright/)
})

void t.test('a plan longer than its own limit is cautioned against, once', async (t) => {
  const plan = { ...BASE.plan, longestSubSeconds: 80, longestTrackedSeconds: 90 }
  const filters = [{ label: 'L' }, { label: 'R' }]
  const { answer } = await ask({ ...BASE, plan, filters, subs: subs(6, () => ({ filter: 'L' })) })
  t.same(
    answer.cautions.filter((caution) => caution.startsWith('Subs of')),
    [
      'Subs of 2 min are longer than the 90 s that the mount tracks: stars will trail.',
      'Subs of 2 min are longer than your own limit of 80 s.',
    ],
  )
  t.match(answer, { action: 'shorten', subSeconds: 60 })
})

void t.test('a goal out of reach is said', async (t) => {
  const plan = { ...BASE.plan, calibration: { darkFrames: 2 } }
  const { answer } = await ask({ ...BASE, plan, goal: { snr: 1000, per: 'pixel' }, subs: subs(10) })
  t.equal(answer.remaining, null)
  t.equal(answer.filters[0]?.subsToGoal, null)
  near(t, answer.filters[0]?.ceilingSnr ?? NaN, 12 / Math.sqrt((0.24 + 2.56) / 2), 1e-9, 'ceiling')
  t.match(said(answer), /lies above 10, which no number of subs exceeds/)
  const before = await ask({ ...BASE, plan, collectedSnr: 24, goal: { snr: 1000, per: 'pixel' }, subs: subs(10) })
  const own = answer.filters[0]?.ceilingSnr ?? NaN
  t.equal(before.answer.filters[0]?.ceilingSnr, Math.hypot(own, 24), 'with what was collected before')
  t.match(said(before.answer), /lies above 26, which no number of subs exceeds/)
  t.ok((before.answer.snr ?? NaN) < Math.hypot(own, 24))
  const dark = await ask({ ...BASE, subs: subs(10, () => ({ relativeStarFlux: 0 })) })
  t.match(said(dark.answer), /At the present rate the goal is never reached/)
})

void t.test('two filters: each its ratio, and the next when one has its goal', async (t) => {
  const filters = [
    { label: 'R', goal: { snr: 2, per: 'pixel' } },
    { label: 'B', sky: { electronsPerPixelSecond: 2 }, collectedSnr: 5, subSeconds: 60, subLadderSeconds: [60] },
  ]
  const { answer } = await ask({ ...BASE, filters, subs: subs(8, () => ({ filter: 'R' })) })
  t.match(answer, { action: 'keep', subSeconds: 60, filter: 'B', snr: 5 })
  t.match(said(answer), /8 subs kept through “R”: a signal-to-noise ratio of /)
  t.match(said(answer), /No sub kept yet through “B”; collected before: a ratio of 5\./)
  t.match(answer.filters, [
    { label: 'R', reached: true, subsToGoal: 0 },
    { label: 'B', reached: false, subCount: 0 },
  ])
  for (const inOrder of [filters, [...filters].reverse()]) {
    const found = await ask({ ...BASE, filters: inOrder, subs: subs(8, () => ({ filter: 'R' })) })
    t.ok(found.answer.explanation.includes('Filter “R” has reached its goal.'), 'wherever it is listed')
    t.notOk(said(found.answer).includes('“B” has reached'))
    t.match(said(found.answer), /To the goals: about \d+ subs, /)
  }
  t.match(said((await ask({ ...BASE, subs: subs(8) })).answer), /To the goal: about \d+ subs, /)
  const { errors } = await ask({
    ...BASE,
    filters: [...filters, { label: 'R' }],
    subs: subs(2, (i) => (i === 0 ? { filter: 'G' } : {})),
  })
  t.same(errors, [
    '/filters/2/label: “R” is there twice',
    '/subs/0/filter: “G” is not listed; one of “R”, “B”, “R”',
    '/subs/1/filter: missing: one of “R”, “B”, “R”',
  ])
})

void t.test('what a log may hold: no order, twice, overlapping, other filters and lengths', async (t) => {
  const straight = await ask({ ...BASE, subs: subs(6) })
  const backward = await ask({ ...BASE, subs: subs(6).reverse() })
  t.equal(backward.answer.snr, straight.answer.snr)
  t.match(said(backward.answer), /not in order of time/)
  const twice = await ask({ ...BASE, subs: [...subs(6), ...subs(6).slice(-1)] })
  t.equal(twice.answer.filters[0]?.subCount, 6)
  t.match(said(twice.answer), /Listed twice, with the same start: 1 sub;/)
  const overlapping = await ask({ ...BASE, subs: subs(6, (i) => ({ startedAt: at(i * 60) })) })
  t.match(overlapping.answer.cautions.join(' '), /5 subs of your list began before/)
  const mixed = await ask({ ...BASE, subs: subs(6, (i) => ({ filter: i % 2 === 0 ? 'R' : 'L' })) })
  t.match(mixed.answer.filters, [{ label: 'L', subCount: 3 }])
  t.match(said(mixed.answer), /another filter: 3 subs/)
  const reversed = await ask({ ...BASE, subs: subs(6, (i) => ({ filter: i < 3 ? 'R' : 'L' })).reverse() })
  t.match(reversed.answer, { filter: 'L', filters: [{ label: 'L', subCount: 3 }] }, 'the latest, wherever it is listed')
  const done = { ...BASE, goal: { snr: 1, per: 'pixel' } }
  const reached = await ask({ ...done, subs: subs(6, (i) => ({ filter: i < 3 ? 'R' : 'L' })).reverse() })
  t.match(reached.answer, { action: 'finish', filter: 'L', subSeconds: 120, snr: reversed.answer.snr })
  const lengths = await ask({
    ...BASE,
    subs: subs(8, (i) => (i % 2 === 0 ? { subSeconds: 60, backgroundAdu: 740 } : {})),
  })
  t.match(lengths.answer, { subSeconds: 120, conditions: [] })
  t.equal(lengths.answer.filters[0]?.integrationSeconds, 720)
  const tooLong = await ask({ ...BASE, subs: subs(4, () => ({ subSeconds: 240, backgroundAdu: 1462 })) })
  t.match(tooLong.answer.reason, /none of those to choose from/)
  t.ok([60, 120, 300].includes(tooLong.answer.subSeconds))
  const single = await ask({ ...BASE, plan: { ...BASE.plan, subLadderSeconds: [120] }, subs: subs(6) })
  t.match(single.answer, { action: 'keep', subSeconds: 120, gain: 0 })
})

void t.test('fields that contradict each other are named', async (t) => {
  // As `/v1/frames` answers.
  const frame = {
    background: { adu: 981, electronsPerPixelSecond: 1.002 },
    noise: { adu: 44.2, electrons: 11.05 },
    clippedShare: 0,
  }
  const unknown = {
    background: { adu: 981, electronsPerPixelSecond: null },
    noise: { adu: 44.2, electrons: null },
    clippedShare: null,
  }
  const withoutGain = subs(4, () => ({ backgroundAdu: undefined, frame: unknown, clippedShare: 0.001 }))
  t.equal((await ask({ ...BASE, subs: withoutGain })).status, 200, 'where it could not tell')
  const asFrames = await ask({ ...BASE, subs: subs(4, () => ({ backgroundAdu: undefined, frame })) })
  t.equal(asFrames.status, 200)
  t.equal(asFrames.answer.present.skyElectronsPerPixelSecond, (481 * 0.25) / 120 - 0.002)
  const { errors, status } = await ask({
    ...BASE,
    subs: [
      { startedAt: at(0), subSeconds: 120, backgroundAdu: 300, relativeFwhm: 1 },
      { startedAt: at(200), subSeconds: 120, backgroundAdu: 900, frame, clippedShare: 0, fwhmArcsec: 3 },
      { startedAt: at(400), subSeconds: 120, frame, backgroundElectronsPerPixelSecond: 1 },
      { startedAt: at(600), subSeconds: 120, frame: { background: { adu: 2 } } },
    ],
  })
  t.equal(status, 400)
  t.same(errors, [
    '/subs/1/frame: stands beside backgroundAdu; give one of the two',
    '/subs/1/clippedShare: stands beside that of the frame; give one of the two',
    '/subs/1/fwhmArcsec: stands beside relativeFwhm (of any sub); give one of the two',
    '/subs/2/backgroundElectronsPerPixelSecond: stands beside a background in ADU; give one of the two',
    '/subs/0/backgroundAdu: 300 ADU lies below the offset of 500 ADU',
    '/subs/3/frame/background/adu: 2 ADU lies below the offset of 500 ADU',
  ])
  for (const sky of [BASE.sky, undefined]) {
    const bare = await ask({ camera: { readNoiseElectrons: 2 }, sky, subs: subs(1) })
    t.equal(bare.status, 400)
    t.same(bare.errors, [
      '/camera/electronsPerAdu: missing: needed to turn a background in ADU into electrons',
      '/camera/offsetAdu: missing: needed to turn a background in ADU into electrons',
    ])
  }
  const half = await ask({ camera: { readNoiseElectrons: 2, electronsPerAdu: 1 }, subs: subs(1) })
  t.same(half.errors, ['/camera/offsetAdu: missing: needed to turn a background in ADU into electrons'])
  const darks = await ask({ ...BASE, darks: [{ celsius: -10, subSeconds: 45 }], subs: [] })
  const tight = { ...BASE.plan, longestSubSeconds: 30 }
  const forbidden = await ask({ ...BASE, plan: tight, subs: subs(6) })
  t.equal(forbidden.status, 422)
  t.same(forbidden.errors, ['/plan/subLadderSeconds: the shortest, 60 s, is longer than the 30 s of longestSubSeconds'])
  const tracked = { overheadSeconds: 6, subSeconds: 120, longestTrackedSeconds: 45, longestSubSeconds: 50 }
  const ofDarks = await ask({ ...BASE, plan: tracked, darks: [{ celsius: -10, subSeconds: 60 }], subs: subs(6) })
  t.same(ofDarks.errors, ['/darks: the shortest, 60 s, is longer than the 45 s that the mount tracks'])
  const entries = [
    { label: 'L', subLadderSeconds: [30] },
    { label: 'R', subLadderSeconds: [90, 40] },
  ]
  const ofEntry = await ask({ ...BASE, plan: tight, filters: entries, subs: [] })
  t.same(ofEntry.errors, [
    '/filters/1/subLadderSeconds: the shortest, 40 s, is longer than the 30 s of longestSubSeconds',
  ])
  t.same(darks.errors, ['/darks: of no length of the ladder (60, 120, 300 s); there: 45 s'])
})

void t.test(
  'on a mosaic the frame’s median is turned into the plane that counts, where the planes are alike',
  async (t) => {
    const mosaic = {
      camera: { like: 'cooled-color-cmos' },
      optics: { apertureMm: 80, focalLengthMm: 480 },
      sky: { bortleClass: 5 },
      subs: subs(6, () => ({ backgroundAdu: 980 })),
    }
    const measured = (480 * 0.25) / 120
    const broad = (await ask(mosaic)).answer.present
    t.ok(broad.skyElectronsPerPixelSecond > 0.3 * measured && broad.skyElectronsPerPixelSecond < measured)
    const narrow = (await ask({ ...mosaic, filter: { band: 'h-alpha', widthNm: 7 } })).answer
    near(t, narrow.present.skyElectronsPerPixelSecond, measured - 0.0008, 1e-9, 'as measured')
    t.equal(narrow.assumptions.find(({ pointer }) => pointer === '/subs')?.value, 'red')
  },
)

void t.test('times with and without fractions, over midnight', async (t) => {
  const times = [
    '2026-11-14T23:59:00Z',
    '2026-11-15T00:02:00.000Z',
    '2026-11-15T00:05:00.5Z',
    '2026-11-15T00:08:00.250Z',
  ]
  const { answer } = await ask({
    ...BASE,
    endsAt: '2026-11-15T06:00:00Z',
    goal: undefined,
    subs: subs(4, (i) => ({ startedAt: times[i] ?? '' })),
  })
  t.equal(answer.remaining?.clockSeconds, 6 * 3600 - 600.25)
  t.equal(answer.cautions.length, 2)
})

void t.test('the last day there is has times too', async (t) => {
  const days = Date.UTC(9999, 11, 31) - START
  const late = subs(20, (i) => ({ startedAt: new Date(START + days + i * 126_000).toISOString() }))
  const covered = late.map((sub, i) => (i < 17 ? sub : { ...sub, relativeStarFlux: 0.5, backgroundAdu: 1200 }))
  const { status, answer } = await ask({ ...BASE, goal: { snr: 6, per: 'pixel' }, subs: covered })
  t.equal(status, 200)
  t.match(answer.conditions, [{ name: 'cloud', since: '9999-12-31T00:35:42.000Z' }])
  t.match(answer.remaining?.endsAt, /^9999-12-31T/)
  const thick = subs(20, (i) => ({
    startedAt: new Date(Date.UTC(9999, 11, 31, 23, 59, 59) - (19 - i) * 126_000)
      .toISOString()
      .replace('.000Z', '.9999Z'),
    ...(i > 15 && { relativeStarFlux: 0.05, backgroundAdu: 1200 }),
  }))
  const over = await ask({ ...BASE, subs: thick })
  t.match(over.answer, { action: 'pause', tryAgainAt: null, remaining: { endsAt: null } }, 'in a year that is none')
})

void t.test('uncertainties of the set-up reach the ratio', async (t) => {
  const readNoiseElectrons = { value: 1.6, standardUncertainty: 0.2 }
  const { answer } = await ask({ ...BASE, camera: { ...BASE.camera, readNoiseElectrons }, subs: subs(10) })
  const found = answer.uncertainty?.find(({ quantity }) => quantity === '/snr')
  // d ln SNR/dR = −R/V
  near(
    t,
    found?.standardUncertainty ?? NaN,
    ((answer.snr ?? NaN) * 1.6 * 0.2) / (12 + 120.4 + 2.56),
    2e-4,
    'of the ratio',
  )
  t.ok(answer.uncertainty?.some(({ quantity }) => quantity === '/remaining/clockSeconds'))
})
