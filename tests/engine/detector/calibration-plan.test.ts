import fc from 'fast-check'
import t from 'tap'
import {
  calibrationPlan,
  masterSubtractionNoiseFactor,
  type CalibrationQuestion,
} from '../../../src/engine/detector/calibration-plan.ts'
import { calibrationRepeats, calibrationVariance } from '../../../src/engine/exposure/calibration-noise.ts'
import { subNoiseTerms, totalVariance } from '../../../src/engine/exposure/noise.ts'
import { near, refuses, within } from '../../support/near.ts'

const QUESTION: CalibrationQuestion = {
  rates: {
    targetElectronsPerPixelSecond: 0.1,
    skyElectronsPerPixelSecond: 0.9,
    darkElectronsPerPixelSecond: 0.01,
  },
  readout: { readNoiseElectrons: 2, quantizationElectrons2: 0 },
  subSeconds: 100,
  subCount: 50,
  ditherPositions: 10,
  flatElectrons: 20_000,
  flatSeconds: 2,
  varianceShare: 0.05,
}

void t.test('D-EST-17 noise factor of subtracting a master of 1, 4, 16, 50 frames (computed)', (t) => {
  for (const [frames, factor] of [
    [1, 1.41421],
    [4, 1.11803],
    [16, 1.03078],
    [50, 1.00995],
  ] as const) {
    within(t, masterSubtractionNoiseFactor(frames), factor, 5e-6, `${frames} frames`)
  }
  refuses(t, () => masterSubtractionNoiseFactor(0), 'out-of-range', 'no frame')
  t.end()
})

void t.test('D-EST-18 dark-subtracted pixel: sky 40 e-, dark 6 e-, R 1.5, 20 darks (computed)', (t) => {
  const rates = { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 40, darkElectronsPerPixelSecond: 6 }
  const readout = { readNoiseElectrons: 1.5, quantizationElectrons2: 0 }
  const sub = { rates, readout, subSeconds: 1 }
  const raw = totalVariance(subNoiseTerms(sub))
  within(t, Math.sqrt(raw), 6.94622, 5e-6, 'without subtraction')
  const subtracted = raw + calibrationVariance({ ...sub, calibration: { darkFrames: 20 } })
  within(t, Math.sqrt(subtracted), 6.97585, 5e-6, 'with it')
  // One sub, darks alone: the plan for that very share is those 20 darks.
  const share = (6 + 1.5 ** 2) / 20 / raw
  const plan = calibrationPlan({
    ...sub,
    subCount: 1,
    ditherPositions: 1,
    flatElectrons: 1e9,
    flatSeconds: 1e-6,
    varianceShare: share * (1 + 1e-4),
  })
  t.equal(plan.darkFrames, 20)
  t.end()
})

void t.test('one term alone: N (D t + R²)/(M V q) darks', (t) => {
  const rates = { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0.1 }
  // V = D t + R² = 14: the darks add N/(M n) = 50/(10 n) of it.
  const plan = calibrationPlan({ ...QUESTION, rates, varianceShare: 0.2 })
  t.match(plan, { darkFrames: 25, flatFrames: 1, flatCalibrationFrames: 1, flatCalibration: 'bias' })
  t.match(plan, { varianceShares: { dark: 0.2, flat: 0, flatCalibration: 0 }, addedVarianceShare: 0.2 })
  near(t, plan.noiseExcessShare, Math.sqrt(1.2) - 1, 1e-15, 'as noise')
  t.end()
})

void t.test('flats alone: every electron of signal and sky squared, over the electrons of the flats', (t) => {
  const rates = { targetElectronsPerPixelSecond: 2, skyElectronsPerPixelSecond: 8, darkElectronsPerPixelSecond: 0 }
  const readout = { readNoiseElectrons: 0, quantizationElectrons2: 0 }
  // V = B = 1000 electrons: without dither the flats add N B/(F n) = 50 · 1000/(20000 n).
  const plan = calibrationPlan({ ...QUESTION, rates, readout, ditherPositions: 1, varianceShare: 0.25 })
  t.match(plan, { darkFrames: 1, flatFrames: 10, flatCalibrationFrames: 1, addedVarianceShare: 0.25 })
  t.match(plan.varianceShares, { dark: 0, flat: 0.25, flatCalibration: 0 })
  t.end()
})

void t.test('all three terms, against their formulas', (t) => {
  const { varianceShares, darkFrames, flatFrames, flatCalibrationFrames } = calibrationPlan(QUESTION)
  const variance = 100 + 1 + 4
  const repeats = 50 / 10
  near(t, varianceShares.dark * darkFrames, (repeats * 5) / variance, 1e-12, 'dark')
  near(t, varianceShares.flat * flatFrames, (repeats * 100 ** 2) / 20_000 / variance, 1e-12, 'flat')
  near(
    t,
    varianceShares.flatCalibration * flatCalibrationFrames,
    (repeats * 100 ** 2 * 4) / 20_000 ** 2 / variance,
    1e-12,
    'bias of the flats',
  )
  t.end()
})

void t.test('dark-flats where the dark current in the flats would show, bias where it would not', (t) => {
  const long = { ...QUESTION, flatSeconds: 400, flatElectrons: 300 }
  t.equal(calibrationPlan(QUESTION).flatCalibration, 'bias')
  const plan = calibrationPlan(long)
  // (B D t_flat/F)² N/(M V) = (100 · 4/300)² · 5/105 = 0.0847 of the variance, more than 0.05.
  t.equal(plan.flatCalibration, 'dark-flats')
  t.equal(calibrationPlan({ ...long, varianceShare: 0.085 }).flatCalibration, 'bias')
  near(
    t,
    plan.varianceShares.flatCalibration * plan.flatCalibrationFrames,
    (5 * 100 ** 2 * (4 + 4)) / 300 ** 2 / 105,
    1e-12,
    'dark-flats carry R² + D t',
  )
  t.end()
})

void t.test('quantisation that read noise leaves out counts with it', (t) => {
  const readout = { readNoiseElectrons: 0, quantizationElectrons2: 4 }
  t.equal(calibrationPlan({ ...QUESTION, readout }).darkFrames, calibrationPlan(QUESTION).darkFrames)
  t.end()
})

const question = fc.record({
  sky: fc.double({ min: -3, max: 3, noNaN: true }),
  dark: fc.double({ min: -5, max: 0, noNaN: true }),
  readNoiseElectrons: fc.double({ min: 0, max: 15, noNaN: true }),
  subSeconds: fc.double({ min: 1, max: 1200, noNaN: true }),
  subCount: fc.integer({ min: 1, max: 1000 }),
  ditherPositions: fc.integer({ min: 1, max: 1000 }),
  flatElectrons: fc.double({ min: 100, max: 50_000, noNaN: true }),
  share: fc.double({ min: -3, max: 0, noNaN: true }),
})

void t.test('a plan keeps its promise, and no count of it can be lowered by one', (t) => {
  fc.assert(
    fc.property(question, (drawn) => {
      const asked: CalibrationQuestion = {
        ...QUESTION,
        ...drawn,
        rates: {
          targetElectronsPerPixelSecond: 0.01,
          skyElectronsPerPixelSecond: 10 ** drawn.sky,
          darkElectronsPerPixelSecond: 10 ** drawn.dark,
        },
        readout: { readNoiseElectrons: drawn.readNoiseElectrons, quantizationElectrons2: 0 },
        varianceShare: 10 ** drawn.share,
      }
      const plan = calibrationPlan(asked)
      const slack = asked.varianceShare * (1 + 1e-9) - plan.addedVarianceShare
      const rises = [
        [plan.darkFrames, plan.varianceShares.dark],
        [plan.flatFrames, plan.varianceShares.flat],
        [plan.flatCalibrationFrames, plan.varianceShares.flatCalibration],
      ].map(([count = 0, share = 0]) => (count > 1 ? share / (count - 1) : Infinity))
      return slack >= 0 && rises.every((rise) => rise > asked.varianceShare - plan.addedVarianceShare - 1e-12)
    }),
    { numRuns: 500, seed: 9 },
  )
  t.end()
})

void t.test('the plan agrees with the noise model that judges it', (t) => {
  const plan = calibrationPlan(QUESTION)
  const { rates, readout, subSeconds, subCount, ditherPositions, flatElectrons } = QUESTION
  const calibration = { darkFrames: plan.darkFrames, flatFrames: plan.flatFrames, flatElectrons, ditherPositions }
  const added = calibrationVariance({ rates, readout, subSeconds, calibration })
  const stack = subCount * totalVariance(subNoiseTerms({ rates, readout, subSeconds }))
  near(
    t,
    plan.varianceShares.dark + plan.varianceShares.flat,
    (added * calibrationRepeats(subCount, calibration)) / stack,
    1e-12,
    'darks and flats',
  )
  t.end()
})

void t.test('frames are few: at most one more than the fewest that enumeration finds', (t) => {
  for (const varianceShare of [0.02, 0.05, 0.1, 0.3]) {
    const plan = calibrationPlan({ ...QUESTION, varianceShare })
    const { dark, flat, flatCalibration } = plan.varianceShares
    const [darks, flats, biases] = [plan.darkFrames, plan.flatFrames, plan.flatCalibrationFrames]
    const one = { dark: dark * darks, flat: flat * flats, flatCalibration: flatCalibration * biases }
    let fewest = Infinity
    for (let n = 1; n < 400; n++) {
      for (let m = 1; m < 30; m++) {
        const left = varianceShare - one.dark / n - one.flatCalibration / m
        if (left > 0) fewest = Math.min(fewest, n + m + Math.max(1, Math.ceil(one.flat / left)))
      }
    }
    const all = darks + flats + biases
    t.ok(all <= fewest + 1, `${varianceShare}: ${all} frames, the fewest are ${fewest}`)
  }
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const { rates, readout } = QUESTION
  for (const change of [
    { subSeconds: 0 },
    { subCount: 0 },
    { ditherPositions: 0 },
    { flatElectrons: 0 },
    { flatSeconds: 0 },
    { varianceShare: 0 },
    { rates: { ...rates, targetElectronsPerPixelSecond: -1 } },
    { rates: { ...rates, skyElectronsPerPixelSecond: -1 } },
    { rates: { ...rates, darkElectronsPerPixelSecond: NaN } },
    { readout: { ...readout, readNoiseElectrons: -1 } },
    { readout: { ...readout, quantizationElectrons2: -1 } },
  ] satisfies Partial<CalibrationQuestion>[]) {
    refuses(t, () => calibrationPlan({ ...QUESTION, ...change }), 'out-of-range', JSON.stringify(change))
  }
  const noiseless = {
    rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 },
    readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 },
  }
  refuses(t, () => calibrationPlan({ ...QUESTION, ...noiseless }), 'out-of-range', 'no noise to compare with')
  t.end()
})
