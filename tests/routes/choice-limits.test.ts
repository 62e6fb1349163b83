// What the questions of choosing must not answer in silence: full wells, electrons of another set-up, mixed lines.

import t from 'tap'
import { calibrationPlan } from '../../src/routes/calibration-plan/index.ts'
import { integrationTime } from '../../src/routes/integration-time/index.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { skyBackground } from '../../src/routes/sky-background/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { upgrades } from '../../src/routes/upgrades/index.ts'
import { near } from '../support/near.ts'
import { ask, bareSetup, camera, rowOf, setup } from './comparison-setups.ts'

type Upgrade = Parameters<typeof upgrades.handle>[0]

const FULL = {
  camera: { readNoiseElectrons: 3, fullWellElectrons: 20000 },
  sky: { electronsPerPixelSecond: 100 },
  target: { electronsPerPixelSecond: 5 },
  plan: { subSeconds: 600, subCount: 10 },
}

void t.test('a background that overflows the well has no ratio, whoever asks', (t) => {
  const refusal = { kind: 'no-answer', message: /put 63000 electrons on a pixel that holds 20000\./ }
  t.throws(() => noiseBudget.handle(FULL), refusal)
  t.throws(() => integrationTime.handle({ ...FULL, goal: { snr: 100, per: 'pixel' } }), refusal)
  t.throws(() => calibrationPlan.handle(FULL), refusal)
  const well = camera({ fullWellElectrons: 20000 })
  const long = { overheadSeconds: 5, interruptionsPerHour: 0, subSeconds: 30_000 }
  const answer = ask([setup('long', { camera: well, plan: long }), setup('free', { camera: well })])
  t.equal(rowOf(answer, 0).reachable, false)
  t.match(rowOf(answer, 0).reason, /electrons on a pixel that holds 20000\./)
  t.ok(rowOf(answer, 1).reachable, 'the advised length does not')
  t.end()
})

void t.test('a star that overflows its pixel is told of', (t) => {
  const { cautions } = integrationTime.handle({
    camera: { readNoiseElectrons: 3, fullWellElectrons: 20000, pixelSizeUm: 4 },
    optics: { apertureMm: 80, focalLengthMm: 400 },
    sky: { electronsPerPixelSecond: 1 },
    target: { starElectronsPerSecond: 100_000 },
    plan: { subSeconds: 60 },
    goal: { snr: 100, per: 'star' },
  })
  t.match(cautions.join(' '), /The star overflows its pixel/)
  t.end()
})

void t.test('subs longer than the mount or the plan allows are told of', (t) => {
  const plan = { subSeconds: 600, subCount: 1, longestTrackedSeconds: 60, longestSubSeconds: 300 }
  const { cautions } = noiseBudget.handle({ ...FULL, sky: { electronsPerPixelSecond: 1 }, plan })
  t.match(cautions, [
    'Subs of 10 min are longer than the 60 s that the mount tracks: stars will trail.',
    'Subs of 10 min are longer than your own limit of 5 min.',
  ])
  t.end()
})

void t.test('electrons of one set-up do not hold for another', (t) => {
  const skies = [{ name: 'measured', sky: { electronsPerPixelSecond: 0.5 } }]
  const optics = { apertureMm: 200, focalLengthMm: 500, transmission: 0.9 }
  const said = (answer: { cautions: string[] }) => answer.cautions.filter((caution) => caution.includes('in electrons'))
  t.match(said(ask([setup('small'), setup('large', { optics })], { skies })), [
    /^The sky is given in electrons .+ The set-ups or channels differ in these/,
  ])
  t.same(said(ask([setup('a'), setup('b', { camera: camera({ readNoiseElectrons: 1 }) })], { skies })), [])
  t.same(said(ask([setup('small'), setup('large', { optics })])), [], 'a sky in magnitudes')
  const { name, price, ...base } = bareSetup('base')
  t.ok(name !== '' && price !== undefined)
  const request: Upgrade = {
    setup: { ...base, site: { sky: { electronsPerPixelSecond: 0.5 } } },
    target: { electronsPerPixelSecond: 0.05 },
    goal: { snr: 10 },
    candidates: [
      { name: 'quiet', change: { camera: { readNoiseElectrons: 1 } }, price: 10 },
      { name: 'large', change: { optics: { apertureMm: 200 } }, price: 10 },
    ],
  }
  t.match(said(upgrades.handle(request)), [/^Sky and target are given in electrons .+ its changes \(“large”\) differ/])
  t.end()
})

void t.test('the other lights of a target are noise for each', (t) => {
  const faint = { line: 'h-alpha' as const, rayleighs: 5 }
  const bright = { line: 'o-iii' as const, rayleighs: 5000 }
  const plan = { overheadSeconds: 5, interruptionsPerHour: 0, subSeconds: 300, refocusSeconds: 0 }
  const make = (name: string) => setup(name, { filter: { band: 'dual-narrowband' }, plan })
  const of = (lines: (typeof faint | typeof bright)[]) =>
    ask([make('one'), make('two')], { targets: [{ name: 'nebula', lines }], goal: { snr: 5 } })
  const alone = rowOf(of([faint]), 0).channels[0]
  const beside = of([faint, bright])
  const mixed = rowOf(beside, 0).channels.find(({ name }) => name.startsWith('h-alpha'))
  const other = rowOf(of([bright]), 0).channels[0]
  near(
    t,
    mixed?.skyElectronsPerPixelSecond ?? NaN,
    (alone?.skyElectronsPerPixelSecond ?? NaN) + (other?.targetElectronsPerPixelSecond ?? NaN),
    1e-12,
    'the sky and the other line',
  )
  // Subs to the goal are as the variance of one: O + S + D + R²/t with R = 2, D = 0.01.
  const variance = ({ targetElectronsPerPixelSecond: o, skyElectronsPerPixelSecond: s } = alone ?? NOTHING) =>
    o + s + (alone?.darkElectronsPerPixelSecond ?? NaN) + 4 / 300
  near(
    t,
    (mixed?.clockHours ?? NaN) / (alone?.clockHours ?? NaN),
    variance(mixed) / variance(alone),
    1e-9,
    'hours as the variance',
  )
  t.match(beside.cautions.join(' '), /puts h-alpha and o-iii on the same pixels: the picture holds their sum/)
  t.end()
})

const NOTHING = { targetElectronsPerPixelSecond: NaN, skyElectronsPerPixelSecond: NaN }

void t.test('a cooler that is not asked to cool is told what it needs', (t) => {
  const { name, price, ...base } = bareSetup('base')
  t.ok(name !== '' && price !== undefined)
  const request: Upgrade = {
    setup: { ...base, site: { sky: { magPerArcsec2: 20 } } },
    target: { surfaceMagPerArcsec2: 22 },
    goal: { snr: 10 },
    candidates: [{ name: 'cooler', change: { camera: { cooler: { reachCelsius: 35 } } }, price: 10 }],
  }
  t.match(upgrades.handle(request).candidates[0]?.reason, /set `camera.temperatureCelsius` in the change too\.$/)
  t.end()
})

void t.test('what is beyond the naked eye points to where it stands', (t) => {
  for (const [question, body] of [
    [skyBackground, {}],
    [subExposure, {}],
    [noiseBudget, { plan: { subSeconds: 10, subCount: 1 } }],
  ] as const) {
    const request = {
      camera: { like: 'cooled-mono-cmos' as const },
      optics: { apertureMm: 80, focalLengthMm: 400 },
      sky: { nakedEyeLimitMag: 8 },
      ...body,
    }
    t.throws(() => question.handle(request), { errors: [{ pointer: '/sky/nakedEyeLimitMag' }] })
  }
  t.end()
})

void t.test('a length that a hard bound sets is not said to be the optimum’s', (t) => {
  const { explanation, limitedBy } = subExposure.handle({
    camera: { readNoiseElectrons: 60, fullWellElectrons: 3000 },
    sky: { electronsPerPixelSecond: 2 },
  })
  t.equal(limitedBy, 'sky-background')
  t.notMatch(explanation.join(' '), /the loss optimum decides/)
  const picked = subExposure.handle({
    camera: { readNoiseElectrons: 3 },
    sky: { electronsPerPixelSecond: 0.05 },
    plan: { subLadderSeconds: [5, 30] },
  })
  t.match(picked.explanation[0], /^Expose 30 s per sub: of your lengths it yields most in an hour\.$/)
  t.end()
})

void t.test('a change in the best set that hardly matters is said to save its price', (t) => {
  const { name, price, ...base } = bareSetup('base')
  t.ok(name !== '' && price !== undefined)
  const { candidates, bundle, notWorthIt } = upgrades.handle({
    setup: { ...base, site: { sky: { magPerArcsec2: 19 }, hoursPerNight: 5 } },
    target: { surfaceMagPerArcsec2: 23 },
    goal: { snr: 30 },
    candidates: [
      { name: 'larger', change: { optics: { apertureMm: 150 } }, price: 500 },
      { name: 'quicker', change: { plan: { overheadSeconds: 4.9 } }, price: 40 },
    ],
  })
  t.same(bundle.names, ['larger', 'quicker'])
  t.same(notWorthIt, ['quicker'])
  t.equal(candidates[1]?.reason, '“quicker” adds hardly anything to the best set of changes; without it 40 is saved.')
  t.end()
})
