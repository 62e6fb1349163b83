// `/v1/session-check`: what goes on in the sky, the optics and the camera.

import t from 'tap'
import { near } from '../support/near.ts'
import { type Sub, ask, at, BASE, subs, from, names, said } from '../support/session-check.ts'

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
  const cooling = await ask({
    ...BASE,
    camera: uncooled,
    subs: subs(20, (i) => ({ backgroundAdu: 2000, sensorCelsius: 14 - i / 4 })),
  })
  t.same(names(cooling.answer), ['temperature-drift'])
  t.match(said(cooling.answer), /The sensor is colder than it was meant to be\./)
  t.notMatch(said(cooling.answer), /set-point/, 'it has none')
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
  t.notMatch(said(rejected.answer), /the stars are there/)
  const seen = blind.map((sub) => ({ ...sub, relativeStarFlux: 1 }))
  const shining = await ask({ ...BASE, subs: seen })
  t.not(shining.answer.action, 'pause')
  t.match(said(shining.answer), /rejected though the stars are there: look at tracking, focus and framing/)
  const lastKept = await ask({
    ...BASE,
    subs: [...seen.slice(0, -1), ...subs(5, () => ({ relativeStarFlux: 1 })).slice(-1)],
  })
  t.notMatch(said(lastKept.answer), /the stars are there/)
  const short = (lastAccepted: boolean) =>
    subs(12, (i) => ({ subSeconds: 60, backgroundAdu: 506 + (i % 2), accepted: i < 9 || (i === 11 && lastAccepted) }))
  const trailed = await ask({ ...BASE, subs: short(false) })
  t.match(trailed.answer, { action: 'keep', subSeconds: 60, reason: /^The last three subs were rejected; longer ones/ })
  t.match(said(trailed.answer), /though the stars are there: look at tracking/)
  const { subCount = NaN, integrationSeconds } = trailed.answer.remaining ?? {}
  t.equal(integrationSeconds, 60 * subCount, 'what remains goes by the length that is kept')
  const veiled = short(false).map((sub, i) => ({ ...sub, relativeStarFlux: i < 9 ? 1 : 0.6 }))
  const covered = await ask({ ...BASE, subs: veiled })
  t.match(covered.answer, { action: 'keep', reason: /^Cloud: the last three subs were rejected; longer ones/ })
  t.notMatch(said(covered.answer), /the stars are there/, 'cloud is reason enough')
  t.match((await ask({ ...BASE, subs: short(true) })).answer, { action: 'lengthen' }, 'once one is kept')
  const reached = await ask({ ...BASE, goal: { snr: 3, per: 'pixel' }, subs: subs(20) })
  t.match(reached.answer, {
    action: 'finish',
    reason: 'The goal is reached.',
    remaining: { subCount: 0, setBy: 'goal' },
  })
  const last = await ask({ ...BASE, endsAt: at(19 * 126 + 120 + 90), subs: subs(20) })
  t.match(last.answer, { action: 'shorten', subSeconds: 60 })
  t.match(last.answer.reason, /longest that still ends in time/)
  const fits = (seconds: number) => ask({ ...BASE, endsAt: at(end + 6 + seconds), subs: subs(20) })
  t.match((await fits(60)).answer, { action: 'shorten', subSeconds: 60, remaining: { subCount: 1 } }, 'after the gap')
  t.match((await fits(59)).answer, { action: 'finish' }, 'with the gap it ends too late')
  const dawn = await ask({
    ...BASE,
    plan: { ...BASE.plan, subLadderSeconds: [120] },
    subs: subs(6, () => ({ backgroundAdu: 60000 })),
  })
  t.match(dawn.answer, { action: 'pause', subSeconds: 120 })
  t.match(dawn.answer.reason, /too bright/)
})
