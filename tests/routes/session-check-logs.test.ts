// `/v1/session-check`: logs in no order, of several filters, and what contradicts itself.

import t from 'tap'
import { near } from '../support/near.ts'
import { ask, START, at, BASE, subs, said } from '../support/session-check.ts'

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
