// Logs that are empty, odd, mixed or contradictory.

import t from 'tap'
import { buildContractCheck } from '../../src/plugins/contract-check.ts'
import { sessionAccount } from '../../src/routes/session-account/index.ts'
import { near } from '../support/near.ts'
import { ask, filterOf, log, SETUP, sub, type Answer } from './session-account-logs.ts'

void t.test('an empty log, and one without an accepted sub, are accounted and said', async (t) => {
  const goal = { snr: 10, per: 'pixel' }
  const empty = await ask({ ...SETUP, goal, subs: [] })
  t.equal(empty.status, 200)
  t.equal(filterOf(empty.answer).weighted.snr, 0)
  t.equal(filterOf(empty.answer).weights, null)
  t.equal(empty.answer.heldBackMost, null)
  t.same(empty.answer.nights, [])
  t.equal(empty.answer.interruptions.plan, null)
  t.equal(filterOf(empty.answer).goal?.atOwnRate, null, 'no rate to go on at')
  t.ok((filterOf(empty.answer).goal?.atReference?.clockSeconds ?? 0) > 0)
  t.match(empty.answer.explanation[0], 'The log is empty: nothing was collected yet.')

  const subs = log(30).map((line) => ({ ...line, accepted: false, rejectedFor: 'cloud' }))
  const rejected = await ask({ ...SETUP, goal, subs })
  t.equal(filterOf(rejected.answer).weighted.snr, 0)
  t.equal(rejected.answer.heldBackMost, 'cloud')
  t.equal(rejected.answer.interruptions.plan, null, 'a minute of watching tells nothing')
  t.equal(rejected.answer.interruptions.count, 1, 'one cloud')
  t.same(filterOf(rejected.answer).rejectedFor, [{ reason: 'cloud', subCount: 30, exposureSeconds: 3600 }])
  t.match(rejected.answer.explanation[1], /none of its 30 subs is accepted/)
})

const remarksOf = ({ log }: Answer) => Object.fromEntries(log.remarks.map(({ kind, lines }) => [kind, lines]))

void t.test('a clock that runs backwards, subs that overlap and copies are said', async (t) => {
  const { answer } = await ask({
    ...SETUP,
    subs: [sub(0), sub(10), sub(5), sub(5), sub(10.5), sub(20, { subSeconds: 60 }), sub(20)],
  })
  const remarks = remarksOf(answer)
  t.same(remarks['clock-backwards'], [2])
  t.same(remarks.duplicate, [3], 'the very same once more; another length is another sub')
  t.same(remarks.overlapping, [4, 6])
  t.equal(filterOf(answer).subCount, 6)
  t.equal(filterOf(answer).clockSeconds, 660 + 2 * 180 + 450 + 480, 'two cameras, each with its own waits')
  t.equal(answer.nights[0]?.clockSeconds, 20 * 60 + 120)
})

void t.test('a backlit offset is a bad line, a little below the dark current is a dark sky', async (t) => {
  const camera = {
    ...SETUP.camera,
    electronsPerAdu: 1,
    offsetAdu: 500,
    darkCurrent: { electronsPerPixelSecond: 0.1, atCelsius: -10 },
  }
  const { answer } = await ask({
    ...SETUP,
    camera,
    everySub: true,
    subs: [496.9, 505, 600, 497, 499.5].map((backgroundAdu, index) => sub(5 * index, { backgroundAdu })),
  })
  t.match(answer.log.badLines, [
    {
      pointer: '/subs/0/backgroundAdu',
      message: '496.9 ADU given; wanted: at least 497 ADU, the camera’s offset of 500 ADU less its noise',
    },
  ])
  t.equal(answer.log.badLineCount, 1, 'a median falls below the offset by chance')
  t.same(remarksOf(answer)['background-below-dark'], [1, 3, 4])
  const dark = 120 * 0.05 + 120 * 0.1 + 1.5 ** 2
  const { varianceElectrons2: variances = [] } = filterOf(answer).subs ?? {}
  near(t, variances[0] ?? NaN, dark, 1e-12, 'a dark sky')
  near(t, variances[1] ?? NaN, dark + 600 - 500 - 12, 1e-12, 'a bright one')
  near(t, variances[2] ?? NaN, dark, 1e-12, 'below the offset')
  const { status, errors } = await ask({ ...SETUP, subs: [sub(0, { backgroundAdu: 499 })] })
  t.equal(status, 400)
  t.match(errors, [/^\/camera\/electronsPerAdu: missing/, /^\/camera\/offsetAdu: missing/])
})

void t.test('several filters are accounted apart, and a label that is not declared is a bad line', async (t) => {
  const filters = [
    { label: 'Ha', goal: { snr: 3, per: 'pixel' } },
    { label: 'OIII', target: { electronsPerPixelSecond: 0.02 }, sky: { electronsPerPixelSecond: 0.3 } },
  ]
  const subs = [
    sub(0, { filter: 'Ha' }),
    sub(3, { filter: 'OIII', subSeconds: 60 }),
    sub(6, { filter: 'SII' }),
    sub(9),
    sub(12, { filter: 'Ha', subSeconds: 300 }),
  ]
  const { answer } = await ask({ ...SETUP, filters, subs })
  t.match(answer.log.badLines, [
    { pointer: '/subs/2/filter', message: '"SII" given; wanted: a label out of `filters`: "Ha", "OIII"' },
    { pointer: '/subs/3/filter', message: /^missing; wanted: a label/ },
  ])
  t.same(
    answer.filters.map(({ filter, subCount, exposureSeconds }) => [filter, subCount, exposureSeconds]),
    [
      ['Ha', 2, 420],
      ['OIII', 1, 60],
    ],
  )
  const alone = await ask({ ...SETUP, subs: [sub(0), sub(12, { subSeconds: 300 })] })
  near(t, filterOf(answer).weighted.snr, filterOf(alone.answer).weighted.snr, 1e-12, 'as on its own')
  t.equal(filterOf(answer, 1).reference.skyElectronsPerPixelSecond, 0.3)
  t.equal(filterOf(answer, 1).goal, null)

  const undeclared = await ask({ ...SETUP, subs })
  t.equal(undeclared.status, 400)
  t.match(undeclared.errors, [/^\/filters: missing: the log names 3 filters \("Ha", "OIII", "SII"\)/])
  const oneName = await ask({ ...SETUP, subs: [sub(0, { filter: 'Ha' })] })
  t.equal(filterOf(oneName.answer).filter, 'Ha', 'one name needs no declaring')
})

void t.test('contradictions in the set-up are named', async (t) => {
  const twice = [{ label: 'Ha' }, { label: 'Ha' }]
  const noTarget = { camera: SETUP.camera, sky: SETUP.sky }
  t.match((await ask({ ...noTarget, subs: [] })).errors, [/^\/target: missing/])
  t.match((await ask({ ...noTarget, filters: twice, subs: [] })).errors, [
    /^\/filters\/0\/target: missing/,
    /^\/filters\/1\/label: "Ha" is the label of an entry before/,
    /^\/filters\/1\/target: missing/,
  ])
  t.match((await ask({ ...SETUP, filter: { band: 'red' }, filters: [{ label: 'R' }], subs: [] })).errors, [
    /^\/filter: stands beside `filters`/,
  ])
  t.match((await ask({ ...SETUP, goal: { snr: 3, per: 'star' }, subs: [] })).errors, [
    /^\/goal\/per: the goal is for a/,
  ])
  const filters = [{ label: 'Ha', target: { starElectronsPerSecond: 3 }, goal: { snr: 3, per: 'pixel' } }]
  const starry = {
    ...SETUP,
    camera: { ...SETUP.camera, pixelSizeUm: 4 },
    optics: { apertureMm: 80, focalLengthMm: 480 },
  }
  t.match((await ask({ ...starry, filters, subs: [] })).errors, [/^\/filters\/0\/goal\/per: the goal is per pixel/])
  const dark = [{ label: 'Ha', target: { electronsPerPixelSecond: 0 } }]
  const { status, errors } = await ask({ ...SETUP, filters: dark, subs: [] })
  t.equal(status, 422)
  t.match(errors, [/^\/filters\/0\/target: The target puts no electrons/])
})

void t.test('six hours without a sub part two nights, each with its clock', async (t) => {
  const { answer } = await ask({
    ...SETUP,
    subs: [sub(0), sub(3), sub(24 * 60), sub(24 * 60 + 3, { accepted: false }), sub(24 * 60 + 40)],
  })
  t.match(answer.nights, [
    { startedAt: '2026-11-21T19:40:00.000Z', clockSeconds: 300, subCount: 2, rejectedCount: 0 },
    { startedAt: '2026-11-22T19:40:00.000Z', clockSeconds: 2520, subCount: 2, rejectedCount: 1, exposureSeconds: 240 },
  ])
  t.equal(filterOf(answer).clockSeconds, 2820)
})

void t.test('a set-up whose camera has several read modes is refused, since a log was taken in one', async (t) => {
  const mode = { label: 'a', readNoiseElectrons: 1, electronsPerAdu: 1, fullWellElectrons: 9000 }
  const body = { ...SETUP, camera: { readModes: [mode, { ...mode, label: 'b' }] }, subs: [] }
  t.match((await ask(body)).errors, [/^\/camera\/readModes: the log was taken in one of them/])
})

void t.test('mixed lengths are said, each with darks of its own', async (t) => {
  const subs = [sub(0), sub(3, { subSeconds: 60 }), sub(6), sub(9, { subSeconds: 60, accepted: false })]
  const { answer } = await ask({ ...SETUP, plan: { calibration: { darkFrames: 20 } }, subs })
  t.match(
    answer.explanation.filter((sentence) => sentence.includes('lengths')),
    [
      '“no filter”: lengths are mixed, 2 of 2 min, 1 of 60 s: weights allow for that; each length takes darks of its own.',
    ],
  )
})

void t.test('asked by name, as in a batch, a log is read and answered as over HTTP', async (t) => {
  const errorsOf = buildContractCheck().errorsOf('SessionAccountRequest')
  const request = { ...SETUP, subs: [sub(0), 17, sub(3), { startedAt: 'yesterday', subSeconds: 120 }] }
  t.same(errorsOf(request), [], 'the gate leaves lines to the question')
  t.match(errorsOf({ ...request, subs: 3 }), [{ pointer: '/subs' }])
  t.match(errorsOf({ ...request, sky: 3 }), [{ pointer: '/sky' }])
  const { answer } = await ask(request)
  t.same(sessionAccount.handle(request as never), answer)
  t.equal(answer.log.badLineCount, 2)
})
