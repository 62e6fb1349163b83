import t from 'tap'
import type { InterruptionCost } from '../../../src/engine/exposure/losses.ts'
import { adviseSub, type ReadMode, type SubAdviceInput } from '../../../src/engine/exposure/sub-advice.ts'
import { near } from '../../support/near.ts'

function mode(it: { R: number; well?: number; label?: string }): ReadMode {
  return {
    label: it.label ?? 'only',
    readout: { readNoiseElectrons: it.R, quantizationElectrons2: 0 },
    usableWellElectrons: it.well ?? null,
  }
}

/** Rates per second, R and well of the only read mode, overhead o, and M between interruptions (absent: none). */
function question(it: {
  target?: number
  sky?: number
  dark?: number
  R?: number
  well?: number
  o?: number
  M?: number
  cost?: InterruptionCost
}): SubAdviceInput {
  return {
    rates: {
      targetElectronsPerPixelSecond: it.target ?? 0,
      skyElectronsPerPixelSecond: it.sky ?? 10,
      darkElectronsPerPixelSecond: it.dark ?? 0,
    },
    modes: [mode({ R: it.R ?? 0, ...(it.well !== undefined && { well: it.well }) })],
    losses: {
      overheadSeconds: it.o ?? 0,
      interruptionsPerSecond: it.M === undefined ? 0 : 1 / it.M,
      interruptionCost: it.cost ?? 'found-afterwards',
    },
    readNoiseTolerance: 0.05,
  }
}

// An old CCD behind a narrow filter under a dark sky: drowning the read noise would take over seven hours.
const NARROW = { target: 0.05, sky: 0.02, dark: 0.01, R: 9, o: 25, M: 3600 }

void t.test('narrow band under a dark sky, spoiled subs found afterwards: the losses decide', (t) => {
  const advice = adviseSub(question(NARROW))
  near(t, advice.bestSeconds ?? NaN, 1506.04659586334968, 1e-11, 'optimum: 25.1 min')
  t.equal(advice.subSeconds, 1500)
  near(t, advice.usefulRange.fromSeconds, 1006.27445284794459, 1e-10, 'from')
  near(t, advice.usefulRange.toSeconds ?? NaN, 2194.53286591341364, 1e-10, 'to')
  t.ok(advice.withinUsefulRange)
  t.same(
    advice.limits.map(({ name, kind, hard }) => ({ name, kind, hard })),
    [
      { name: 'read-noise', kind: 'lower', hard: false },
      { name: 'losses', kind: 'upper', hard: false },
    ],
  )
  near(t, advice.limits[0]?.seconds ?? NaN, 81 / (0.03 * (1.05 ** 2 - 1)), 1e-14, 'shortest that drowns it')
  t.equal(advice.limits[1]?.seconds, advice.bestSeconds)
  t.equal(advice.limitedBy, 'losses')
  t.same(advice.collisions, [], 'a wish that losses overrule collides with no bound')
  near(t, advice.swampFactor ?? NaN, 30 / 81, 1e-14, 'swamp factor')
  near(t, advice.readNoiseExcess ?? NaN, 0.673320053068151096, 1e-13, 'excess that has to be borne')
  const rate = ((1500 / 1525) * Math.exp(-1500 / 3600)) / (1 + 1012.5 / 1500)
  near(t, advice.informationRate, rate, 1e-14, 'against an ideal detector')
  near(t, advice.informationShare, rate / 0.387126534394157251, 1e-12, 'against the optimum')
  t.end()
})

void t.test('the same, spoiled subs restarted at once: half as long again', (t) => {
  const advice = adviseSub(question({ ...NARROW, cost: 'aborted-at-once' }))
  near(t, advice.bestSeconds ?? NaN, 2161.7125892735994, 1e-11, 'optimum: 36.03 min')
  t.equal(advice.subSeconds, 2100)
  near(t, advice.usefulRange.fromSeconds, 1402.20468000668988, 1e-10, 'from')
  near(t, advice.usefulRange.toSeconds ?? NaN, 3226.40992876234562, 1e-10, 'to')
  t.equal(advice.limitedBy, 'losses')
  t.end()
})

void t.test('without interruptions the advice is the shortest round length of the range', (t) => {
  const advice = adviseSub(question({ o: 10 }))
  t.equal(advice.bestSeconds, null)
  near(t, advice.usefulRange.fromSeconds, 190, 1e-11, 't/(t + o) = 0.95')
  t.equal(advice.usefulRange.toSeconds, null)
  t.equal(advice.subSeconds, 210)
  near(t, advice.informationShare, 210 / 220, 1e-15, 'share')
  near(t, advice.informationRate, 210 / 220, 1e-15, 'rate')
  t.equal(advice.limitedBy, 'losses', 'dead time asks for that length')
  t.same(advice.limits, [{ name: 'read-noise', kind: 'lower', hard: false, seconds: 0 }], 'nothing to drown')
  t.equal(advice.swampFactor, null, 'without read noise')
  t.equal(advice.readNoiseExcess, 0)
  t.end()
})

// Read noise of 9 s beside a dead time of 1 s, no interruptions: t²/((t + 1)(t + 9)) = 0.95.
const CALM = { sky: 1, R: 3, o: 1 }
const CALM_FROM = (9.5 + Math.sqrt(9.5 ** 2 + 4 * 0.05 * 8.55)) / 0.1

void t.test('without interruptions read noise may be what asks for length', (t) => {
  const advice = adviseSub(question(CALM))
  near(t, advice.usefulRange.fromSeconds, CALM_FROM, 1e-11, 'from')
  t.equal(advice.subSeconds, 210)
  t.equal(advice.limitedBy, 'read-noise')
  t.end()
})

void t.test('without interruptions a bound far above the advice does not limit it', (t) => {
  const advice = adviseSub({ ...question(CALM), trackedSeconds: 600 })
  t.equal(advice.subSeconds, 210)
  t.equal(advice.usefulRange.toSeconds, 600)
  t.equal(advice.boundBelowUseful, false)
  t.equal(advice.limitedBy, 'read-noise')
  t.same(advice.collisions, [])
  t.end()
})

void t.test('without interruptions a bound below the range is taken as far as it goes', (t) => {
  const advice = adviseSub({ ...question(CALM), trackedSeconds: 100 })
  t.equal(advice.subSeconds, 90)
  t.equal(advice.limitedBy, 'tracking')
  t.equal(advice.usefulRange.toSeconds, 100)
  t.equal(advice.boundBelowUseful, true)
  const peak = 100 ** 2 / (101 * 109)
  const { fromSeconds } = advice.usefulRange
  near(t, fromSeconds ** 2 / ((fromSeconds + 1) * (fromSeconds + 9)), 0.95 * peak, 1e-11, 'within 5 % of the bound')
  t.equal(advice.collisions.length, 1)
  const [collision] = advice.collisions
  t.match(collision, { lower: 'losses', upper: 'tracking', upperSeconds: 100 })
  near(t, collision?.lowerSeconds ?? NaN, CALM_FROM, 1e-11, 'what dead time and read noise ask for')
  t.equal(adviseSub({ ...question(CALM), trackedSeconds: 190 }).subSeconds, 180, 'just below the range')
  t.end()
})

void t.test('where nothing is lost a second does, or what a bound leaves of it', (t) => {
  const advice = adviseSub(question({}))
  t.equal(advice.subSeconds, 1)
  t.same(advice.usefulRange, { fromSeconds: 0.001, toSeconds: null })
  t.equal(advice.limitedBy, 'losses')
  t.equal(advice.informationRate, 1)
  const bounded = adviseSub({ ...question({}), longestSeconds: 0.6 })
  t.equal(bounded.subSeconds, 0.5)
  t.equal(bounded.limitedBy, 'longest-sub')
  t.equal(adviseSub({ ...question({}), longestSeconds: 1 }).limitedBy, 'losses', 'a second is what was wanted')
  const spoiled = adviseSub(question({ M: 1 }))
  t.equal(spoiled.bestSeconds, 0.001)
  t.equal(spoiled.subSeconds, 0.05, 'the longest round length within 5 %')
  t.equal(spoiled.limitedBy, 'losses')
  t.equal(adviseSub({ ...question({ M: 1 }), longestSeconds: 0.6 }).limitedBy, 'losses', 'it is not the bound')
  t.end()
})

void t.test('without sky and dark current there is no read-noise bound', (t) => {
  const advice = adviseSub(question({ target: 1, sky: 0, R: 3, o: 1 }))
  t.same(advice.limits, [])
  t.equal(advice.readNoiseExcess, null)
  t.equal(advice.swampFactor, 0)
  t.equal(advice.limitedBy, 'read-noise', 'it is there all the same')
  t.equal(advice.subSeconds, 210)
  t.end()
})

void t.test('every upper bound, with the length it sets', (t) => {
  const advice = adviseSub({
    ...question({ sky: 90, dark: 10, R: 3, well: 50000, o: 10, M: 1800 }),
    starPeakElectronsPerSecond: 400,
    trackedSeconds: 300,
    longestSeconds: 600,
  })
  t.same(
    advice.limits.filter(({ hard }) => hard),
    [
      { name: 'sky-background', kind: 'upper', hard: true, seconds: 250 },
      { name: 'star-clipping', kind: 'upper', hard: true, seconds: 125 },
      { name: 'tracking', kind: 'upper', hard: true, seconds: 300 },
      { name: 'longest-sub', kind: 'upper', hard: true, seconds: 600 },
    ],
  )
  t.equal(advice.limitedBy, 'star-clipping', 'the tightest, below the optimum of 130 s')
  t.equal(advice.subSeconds, 120)
  t.end()
})

void t.test('the brightest colour plane fills first, and an unknown well sets no bound', (t) => {
  const given = question({ sky: 90, dark: 10, well: 50000, o: 10, M: 1800 })
  const seconds = (input: SubAdviceInput) =>
    adviseSub(input).limits.find(({ name }) => name === 'sky-background')?.seconds
  t.equal(seconds(given), 250)
  t.equal(seconds({ ...given, brightestBackgroundElectronsPerSecond: 200 }), 125)
  const unknown = { ...given, modes: [mode({ R: 3 })], starPeakElectronsPerSecond: 400 }
  t.same(
    adviseSub(unknown).limits.map(({ name }) => name),
    ['read-noise', 'losses'],
  )
  t.end()
})

void t.test('tracking without end is no bound', (t) => {
  const given = question({ o: 10, M: 1800 })
  t.same(adviseSub({ ...given, trackedSeconds: Infinity }), adviseSub(given))
  t.end()
})

// Optimum 134.6 s, worthwhile from 55.4 s; 8.78 s drown the read noise.
const WINDY = question({ sky: 10, R: 3, o: 10, M: 1800 })

void t.test('a bound inside the useful range limits and collides with nothing', (t) => {
  const advice = adviseSub({ ...WINDY, trackedSeconds: 100 })
  t.equal(advice.subSeconds, 90)
  t.equal(advice.limitedBy, 'tracking')
  t.equal(adviseSub({ ...WINDY, longestSeconds: 100, trackedSeconds: 100 }).limitedBy, 'tracking', 'the first of two')
  t.same(advice.collisions, [])
  t.ok(advice.informationShare > 0.95 && advice.informationShare < 1)
  t.end()
})

void t.test('a bound below the useful range collides with the losses', (t) => {
  const worthwhile = adviseSub(WINDY).usefulRange.fromSeconds
  const advice = adviseSub({ ...WINDY, trackedSeconds: 30, longestSeconds: 40 })
  t.same(advice.collisions, [
    { lower: 'losses', lowerSeconds: worthwhile, upper: 'tracking', upperSeconds: 30 },
    { lower: 'losses', lowerSeconds: worthwhile, upper: 'longest-sub', upperSeconds: 40 },
  ])
  t.equal(advice.subSeconds, 30)
  t.ok(advice.informationShare < 0.95)
  t.end()
})

void t.test('a bound too short to drown the read noise collides with that', (t) => {
  const advice = adviseSub({ ...WINDY, trackedSeconds: 5, longestSeconds: 600 })
  t.equal(advice.collisions.length, 1)
  t.match(advice.collisions[0], { lower: 'read-noise', upper: 'tracking', upperSeconds: 5 })
  near(t, advice.collisions[0]?.lowerSeconds ?? NaN, 9 / (10 * 0.1025), 1e-14, 'what the read noise asks for')
  t.equal(advice.subSeconds, 5)
  t.end()
})

void t.test('a bound that just meets a wish does not collide with it', (t) => {
  const [wish] = adviseSub(WINDY).limits
  const met = adviseSub({ ...WINDY, trackedSeconds: wish?.seconds ?? NaN })
  t.match(met.collisions, [{ lower: 'losses', upper: 'tracking' }], 'read noise is drowned, dead time is not paid off')
  const { fromSeconds } = adviseSub(WINDY).usefulRange
  t.same(adviseSub({ ...WINDY, trackedSeconds: fromSeconds }).collisions, [])
  t.end()
})

void t.test('a wish that the optimum would grant collides with a bound even where little is lost', (t) => {
  // 99.8 s for a tolerance of 0.45 %.
  const advice = adviseSub({ ...WINDY, readNoiseTolerance: 0.0045, trackedSeconds: 80 })
  t.match(advice.collisions, [{ lower: 'read-noise', upper: 'tracking', upperSeconds: 80 }])
  t.ok(advice.informationShare > 0.95)
  t.end()
})

void t.test('a wish that the optimum overrules collides only where a bound costs dearly', (t) => {
  t.same(adviseSub({ ...question(NARROW), trackedSeconds: 1200 }).collisions, [])
  const { collisions } = adviseSub({ ...question(NARROW), trackedSeconds: 600 })
  t.equal(collisions.length, 1)
  t.match(collisions[0], { lower: 'read-noise', upper: 'tracking', upperSeconds: 600 })
  near(t, collisions[0]?.lowerSeconds ?? NaN, 26341.4634146341463, 1e-12, 'over seven hours')
  t.end()
})

void t.test('a well that is full within a millisecond is refused', (t) => {
  const given = question({ sky: 1e9, well: 1e5 })
  t.throws(() => adviseSub(given), {
    code: 'saturates-at-once',
    message: 'The bound “sky-background” allows 0.000050 s at most, less than the shortest sub there is, 0.001 s.',
    details: { field: 'sky-background' },
  })
  t.equal(adviseSub(question({ sky: 1e9, well: 2e6 })).subSeconds, 0.001, 'a millisecond is allowed')
  t.end()
})
