// What a log is worth, over HTTP: weights against their optimum, what to drop, what is missing, what held it back.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { near } from '../support/near.ts'
import { ask, filterOf, log, SETUP, sub, type Line } from './session-account-logs.ts'

void t.test('the weights told give the ratio told, and it is the inverse-variance optimum', async (t) => {
  const { answer } = await ask({ ...SETUP, everySub: true, subs: log(60) })
  const { subs, weighted, weights } = filterOf(answer)
  if (subs === undefined) throw new Error('every sub was asked for')
  t.same(
    subs.lines,
    subs.weights.map((_, index) => index),
  )
  t.equal(subs.lines.length, 60)
  let signal = 0
  let variance = 0
  let optimum = 0
  subs.weights.forEach((weight, index) => {
    const a = subs.signalElectrons[index] ?? NaN
    const v = subs.varianceElectrons2[index] ?? NaN
    signal += weight * a
    variance += weight ** 2 * v
    optimum += a ** 2 / v
    near(
      t,
      (subs.scaledWeights[index] ?? NaN) / (weight * a),
      (subs.scaledWeights[0] ?? NaN) / ((subs.weights[0] ?? NaN) * (subs.signalElectrons[0] ?? NaN)),
      1e-9,
      'in proportion',
    )
  })
  near(t, weighted.snrWithoutCalibration, signal / Math.sqrt(variance), 1e-6, 'of the weights')
  near(t, weighted.snrWithoutCalibration, Math.sqrt(optimum), 1e-6, 'the optimum')
  const sumOf = (values: number[]) => values.reduce((sum, value) => sum + value, 0)
  near(t, sumOf(subs.weights) / 60, 1, 1e-9, 'their mean')
  near(t, sumOf(subs.scaledWeights) / 60, 1, 1e-9, 'the mean after scaling')
  const squares = sumOf(subs.weights.map((weight) => weight ** 2))
  near(t, weights?.effectiveSubCount ?? NaN, sumOf(subs.weights) ** 2 / squares, 1e-9, 'n')
})

void t.test('an uncertain target makes ratios uncertain by its share', async (t) => {
  const target = { electronsPerPixelSecond: { value: 0.01, standardUncertainty: 0.001 } }
  const { answer } = await ask({ ...SETUP, target, subs: log(20) })
  const found = answer.uncertainty?.find(({ quantity }) => quantity === '/filters/0/weighted/snr')
  near(
    t,
    (found?.standardUncertainty ?? NaN) / filterOf(answer).weighted.snr,
    0.1,
    0.1,
    'a faint target: in proportion',
  )
  t.equal(found?.contributions[0]?.input, '/target/electronsPerPixelSecond')
})

void t.test('at the goal nothing is missing; at the own rate time goes with the square', async (t) => {
  const subs = log(40)
  const first = await ask({ ...SETUP, subs })
  const { snr } = filterOf(first.answer).weighted
  const there = await ask({ ...SETUP, goal: { snr: snr * 0.999, per: 'pixel' }, subs })
  t.match(filterOf(there.answer).goal, {
    reached: true,
    atOwnRate: { clockSeconds: 0 },
    atReference: { clockSeconds: 0 },
  })
  const twice = await ask({ ...SETUP, goal: { snr: 2 * snr, per: 'pixel' }, subs })
  const { goal, clockSeconds } = filterOf(twice.answer)
  near(t, goal?.atOwnRate?.clockSeconds ?? NaN, 3 * clockSeconds, 1e-9, 'three times as long again')
  const plan = { ...SETUP.plan, calibration: { darkFrames: 1 } }
  const beyond = await ask({ ...SETUP, plan, goal: { snr: 1000, per: 'pixel' }, subs })
  const { ceilingSnr, shareOfCeiling, equal, goal: never } = filterOf(beyond.answer)
  t.match(never, { reached: false, atOwnRate: null, atReference: null })
  near(t, shareOfCeiling ?? NaN, equal.snr / (ceilingSnr ?? NaN), 1e-12, 'how near')
  t.ok(beyond.answer.explanation.some((sentence) => sentence.includes('lies above what these calibration frames')))
})

void t.test('without weights bad subs are dropped and the ratio gains; with weights dropping costs', async (t) => {
  const subs = log(40).map((line, index) => ({
    ...line,
    relativeStarFlux: index < 6 ? 0.05 : 1,
    backgroundElectronsPerPixelSecond: index < 6 ? 4 : 0.5,
  }))
  const { answer } = await ask({ ...SETUP, subs })
  const { drop, equal, weighted } = filterOf(answer)
  const { explanation } = answer
  t.same([...drop.lines].sort(), [0, 1, 2, 3, 4, 5])
  t.ok(drop.equalSnr > 1.05 * equal.snr)
  t.ok(drop.weightedSnr < weighted.snr && drop.weightedSnr > 0.99 * weighted.snr)
  t.ok(weighted.snr > drop.equalSnr)
  t.ok(explanation.some((sentence) => sentence.includes('without weights, drop 6 subs and reach')))
})

void t.test('the one thing that held the night back most is named', async (t) => {
  const star = {
    ...SETUP,
    camera: { ...SETUP.camera, pixelSizeUm: 4 },
    optics: { apertureMm: 80, focalLengthMm: 480 },
    target: { starElectronsPerSecond: 2 },
    plan: { ...SETUP.plan, fwhmArcsec: 2.5 },
  }
  const each = (count: number, change: (index: number) => Line) =>
    Array.from({ length: count }, (_, index) => sub(index * 2.1, change(index)))
  const noisy = { ...SETUP, camera: { ...SETUP.camera, readNoiseElectrons: 9 } }
  const warm = { ...SETUP, camera: { ...SETUP.camera, darkCurrent: { electronsPerPixelSecond: 0.02, atCelsius: -10 } } }
  const troubles: [string, object][] = [
    ['transparency', { ...SETUP, subs: each(50, (i) => ({ relativeStarFlux: i > 20 ? 0.3 : 1 })) }],
    ['sky', { ...SETUP, subs: each(50, (i) => ({ backgroundElectronsPerPixelSecond: 0.5 + 0.1 * i })) }],
    ['read-noise', { ...noisy, subs: each(50, () => ({})) }],
    ['dark-current', { ...warm, subs: each(50, () => ({ sensorCelsius: 25 })) }],
    ['seeing', { ...star, subs: each(50, () => ({ fwhmArcsec: 6 })) }],
    ['cloud', { ...SETUP, subs: each(50, (i) => ({ accepted: i > 30 })) }],
    ['cloud', { ...SETUP, subs: each(50, (i) => (i % 2 === 1 ? { accepted: false, rejectedFor: 'haze' } : {})) }],
    ['cloud', { ...SETUP, subs: each(50, (i) => (i % 2 === 1 ? { accepted: false, relativeStarFlux: 0.2 } : {})) }],
    ['rejected-in-a-row', { ...SETUP, subs: each(50, (i) => ({ accepted: i > 30, rejectedFor: 'guiding' })) }],
    ['rejected-in-a-row', { ...SETUP, subs: each(50, (i) => ({ accepted: i > 30, relativeStarFlux: 1 })) }],
    ['rejected', { ...SETUP, subs: each(50, (i) => ({ accepted: i % 3 < 1, relativeStarFlux: 1 })) }],
    ['dead-time', { ...SETUP, subs: Array.from({ length: 50 }, (_, i) => sub(i * 4)) }],
    ['pauses', { ...SETUP, subs: [...log(10), sub(3 * 60), sub(6 * 60)] }],
    ['calibration', { ...SETUP, plan: { ...SETUP.plan, calibration: { darkFrames: 1 } }, subs: each(200, () => ({})) }],
  ]
  for (const [factor, body] of troubles) {
    const { answer, errors } = await ask(body)
    t.equal(answer.heldBackMost, factor, `${factor} ${errors.join('; ')}`)
    t.match(answer.heldBack[0]?.explanation, / held the session back most of all, by /)
    const seconds = answer.heldBack.map(({ effectiveSeconds }) => effectiveSeconds)
    t.same(
      seconds,
      [...seconds].sort((one, other) => other - one),
      'the most first',
    )
  }
})

void t.test('interruptions learnt go back into a plan as they are', async (t) => {
  const subs = log(100).map((line, index) => ({ ...line, ...(index % 10 === 5 && { accepted: false }) }))
  const { answer } = await ask({ ...SETUP, subs })
  const { count, perHour, watchedSeconds, plan } = answer.interruptions
  t.equal(count, 10)
  near(t, perHour ?? NaN, (10 * 3600) / ((100 - 20) * 120 + 10 * 60), 1e-12, 'per hour')
  if (plan === null) throw new Error('learnt')
  const again = await ask({ ...SETUP, plan: { ...SETUP.plan, ...plan }, subs })
  t.equal(again.status, 200)
  const { value, standardUncertainty } = plan.interruptionsPerHour as { value: number; standardUncertainty: number }
  near(t, value, (10.5 * 3600) / watchedSeconds, 1e-12, 'the mean after Jeffreys’ prior')
  near(t, standardUncertainty, (Math.sqrt(10.5) * 3600) / watchedSeconds, 1e-12, 'its uncertainty')
})

void t.test('a median and a clipped mean are taken as the noise budget takes them', async (t) => {
  const subs = Array.from({ length: 30 }, (_, index) =>
    sub(index * 2.1, { backgroundElectronsPerPixelSecond: 0.5, relativeStarFlux: 1 }),
  )
  const of = async (combine: 'mean' | 'clipped-mean' | 'median', count = 30) => {
    const plan = { ...SETUP.plan, combine, calibration: { darkFrames: 20, ditherPositions: 3 } }
    const { answer } = await ask({ ...SETUP, plan, subs: subs.slice(0, count) })
    const { stack } = noiseBudget.handle({ ...SETUP, plan: { ...plan, subSeconds: 120, subCount: count } })
    near(t, filterOf(answer).weighted.snr, stack.snr, 1e-9, `${combine} of ${count}`)
    near(t, filterOf(answer).equal.snr, stack.snr, 1e-9, `${combine} of ${count}, added up as they are`)
    return answer
  }
  const mean = await of('mean')
  const median = await of('median')
  await of('clipped-mean')
  t.notOk(mean.heldBack.some(({ factor }) => factor === 'combining'))
  t.equal(median.heldBackMost, 'combining')
  const kept = filterOf(median).effectiveSeconds / filterOf(mean).effectiveSeconds
  near(t, kept, 0.666, 0.003, 'a median of 30 keeps, by a million draws with numpy')
  t.ok(median.explanation.some((sentence) => sentence.includes('a median keeps 67 % of what a mean would')))
  t.ok((await of('clipped-mean', 8)).explanation.some((sentence) => sentence.includes('cannot reject anything in 10')))
})
