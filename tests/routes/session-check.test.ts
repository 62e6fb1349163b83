// `/v1/session-check`: what to do next, what there is so far, and what remains.

import t from 'tap'
import { near } from '../support/near.ts'
import { ask, START, at, BASE, subs, said } from '../support/session-check.ts'

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
  t.match(
    said(before.answer),
    /10 subs kept: a signal-to-noise ratio of [\d.]+, with what was collected before, each sub/,
  )
  t.notMatch(said(answer), /collected before/)
})

void t.test('a background at the offset tells no sky, and that is said', async (t) => {
  const camera = { readNoiseElectrons: 3, electronsPerAdu: 1, offsetAdu: 500 }
  const dark = await ask({ camera, subs: subs(4, () => ({ backgroundAdu: 498 })) })
  t.match(dark.answer, { action: 'lengthen', present: { skyElectronsPerPixelSecond: 0 } })
  t.match(dark.answer.reason, /^At the sky as it is, subs of .* gather \d+ times the information an hour\.$/)
  t.match(dark.answer.cautions.join(' '), /The first subs show no sky above offset and dark current/)
  const lit = await ask({ camera, subs: subs(4, () => ({ backgroundAdu: 548 })) })
  t.notMatch(lit.answer.cautions.join(' '), /show no sky/)
  const planned = await ask({ ...BASE, goal: { snr: 8, per: 'pixel' }, subs: subs(10, () => ({ backgroundAdu: 498 })) })
  t.match(planned.answer, { action: 'finish', present: { skyElectronsPerPixelSecond: 0 } })
  t.match(planned.answer.cautions.join(' '), /show no sky above offset and dark current, where the plan expects some/)
  const asPlanned = await ask({ ...BASE, subs: subs(10) })
  t.notMatch(asPlanned.answer.cautions.join(' '), /show no sky/)
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
  t.match(said(slow.answer), /on the clock at the present rate/)
  const none = await ask({ ...BASE, subs: subs(20, () => ({ accepted: false })) })
  t.match(said(none.answer), /on the clock at the pace of the plan/, 'no sub was kept')
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
