import t from 'tap'
import {
  ceilingSnr,
  leastSubCount,
  MOST_SUBS,
  realSubCount,
  stackBudget,
  type StackInput,
} from '../../../src/engine/exposure/stack.ts'
import { near, refuses } from '../../support/near.ts'

const STACK: StackInput = {
  rates: { targetElectronsPerPixelSecond: 0.5, skyElectronsPerPixelSecond: 2, darkElectronsPerPixelSecond: 0.1 },
  readout: { readNoiseElectrons: 3, quantizationElectrons2: 0.75 },
  subSeconds: 60,
  subCount: 16,
  combine: 'mean',
  calibration: {},
}
const CALIBRATION = { darkFrames: 21, flatFrames: 16, flatElectrons: 25000 }

void t.test('signal adds, noise adds in variance', (t) => {
  const { signalElectrons, noiseElectrons, snr, shares } = stackBudget(STACK)
  t.equal(signalElectrons, 480)
  near(t, noiseElectrons, Math.sqrt(16 * 165.75), 1e-15, 'noise')
  near(t, snr, 480 / Math.sqrt(16 * 165.75), 1e-15, 'ratio')
  near(t, shares.sky, 120 / 165.75, 1e-15, 'share of the sky')
  near(t, shares.quantization, 0.75 / 165.75, 1e-15, 'share of rounding')
  t.equal(shares.calibration, 0)
  t.end()
})

void t.test('what calibration leaves is the same in every sub, unless the pointing is dithered', (t) => {
  // Master dark 0.75 and master flat 0.05625 electrons² a sub.
  for (const { ditherPositions, repeats } of [
    { ditherPositions: 1, repeats: 256 },
    { ditherPositions: 4, repeats: 64 },
    { ditherPositions: 16, repeats: 16 },
    { ditherPositions: 99, repeats: 16 },
  ]) {
    const { snr, shares } = stackBudget({ ...STACK, calibration: { ...CALIBRATION, ditherPositions } })
    const variance = 16 * 165.75 + repeats * 0.80625
    near(t, snr, 480 / Math.sqrt(variance), 1e-14, `ratio from ${ditherPositions} pointings`)
    near(t, shares.calibration, (repeats * 0.80625) / variance, 1e-14, 'share of calibration')
  }
  t.end()
})

void t.test('D-EST-01 a median of three has 1.16018 times the noise (Kenney & Keeping 1962)', (t) => {
  const three = { ...STACK, subCount: 3 }
  near(t, stackBudget(three).snr / stackBudget({ ...three, combine: 'median' }).snr, 1.16018, 5e-6, 'noise factor')
  const clipped = stackBudget({ ...three, combine: 'clipped-mean' })
  t.equal(clipped.snr, stackBudget(three).snr, 'clipping can leave out none of three')
  t.end()
})

void t.test('the estimator weighs the noise of the subs, not the error they share', (t) => {
  const { snr } = stackBudget({ ...STACK, subCount: 3, combine: 'median', calibration: CALIBRATION })
  near(t, snr, 90 / Math.sqrt((3 * 165.75) / 0.742934702 + 9 * 0.80625), 1e-9, 'ratio')
  const dithered = {
    ...STACK,
    subCount: 3,
    combine: 'median',
    calibration: { ...CALIBRATION, ditherPositions: 3 },
  } as const
  near(t, stackBudget(dithered).snr, 90 / Math.sqrt((3 * 166.55625) / 0.742934702), 1e-9, 'unless they do not share it')
  t.end()
})

void t.test('calibration sets a ceiling', (t) => {
  t.equal(ceilingSnr(STACK), null, 'none without it')
  const floor = { ...STACK, calibration: CALIBRATION }
  near(t, ceilingSnr(floor) ?? NaN, 30 / Math.sqrt(0.80625), 1e-14, 'O t/√c')
  const dithered = { ...STACK, calibration: { ...CALIBRATION, ditherPositions: 9 } }
  near(t, ceilingSnr(dithered) ?? NaN, 90 / Math.sqrt(0.80625), 1e-14, 'O t √M/√c')
  near(t, stackBudget({ ...dithered, subCount: 1e9 }).snr, 90 / Math.sqrt(0.80625), 1e-6, 'where all stacks end')
  t.end()
})

void t.test('D-CCD-05 one electron a second on two of sky to a ratio of 30 (university course, problem 3)', (t) => {
  const course = {
    ...STACK,
    rates: { targetElectronsPerPixelSecond: 1, skyElectronsPerPixelSecond: 2, darkElectronsPerPixelSecond: 0 },
    readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 },
    subSeconds: 1,
  }
  t.equal(
    leastSubCount((subCount) => stackBudget({ ...course, subCount }).snr, 30, null),
    2700,
    'seconds',
  )
  t.end()
})

void t.test('the least count of a known law', (t) => {
  for (const least of [1, 2, 3, 4, 5, 7, 8, 9, 1000, 1024, 1025, 536870912, 536870913, 999999999, MOST_SUBS]) {
    t.equal(
      leastSubCount((count) => count, least, null),
      least,
    )
    t.equal(
      leastSubCount((count) => count, least - 0.5, null),
      least,
    )
  }
  t.equal(
    leastSubCount((count) => count, 0.001, null),
    1,
    'at least one',
  )
  t.end()
})

void t.test('a goal at or above the ceiling is refused with the ceiling', (t) => {
  const run = (snr: number) => leastSubCount((count) => 20 * Math.sqrt(count / (count + 5)), snr, 20)
  t.throws(() => run(20), {
    code: 'goal-above-ceiling',
    details: { field: 'snr', given: 20, facts: { ceilingSnr: 20 } },
  })
  refuses(t, () => run(21), 'goal-above-ceiling', 'above')
  t.equal(run(19), 47, '361 · 5/39 = 46.3')
  t.end()
})

void t.test('more than 10⁹ subs are refused', (t) => {
  t.throws(() => leastSubCount((count) => count, MOST_SUBS + 1, null), {
    code: 'no-solution',
    message: 'More than 1000000000 subs would be needed.',
    details: { field: 'snr', given: 1000000001 },
  })
  refuses(t, () => leastSubCount(() => 0, 1, null), 'no-solution', 'no signal')
  t.end()
})

void t.test('real number of subs in closed form', (t) => {
  const given = { signalElectrons: 30, variance: 100, calibrationVariance: 0, ditherPositions: 1, snr: 12 }
  near(t, realSubCount(given) ?? NaN, 16, 1e-15, 's² v/Q²')
  const shared = { ...given, calibrationVariance: 2 }
  near(t, realSubCount(shared) ?? NaN, 14400 / (900 - 288), 1e-15, 's² v/(Q² − s² c)')
  const dithered = { ...shared, ditherPositions: 4 }
  near(t, realSubCount(dithered) ?? NaN, 14400 / (900 - 72), 1e-15, 's² v/(Q² − s² c/M)')
  const all = { ...shared, ditherPositions: 100 }
  near(t, realSubCount(all) ?? NaN, (144 * 102) / 900, 1e-15, 'every sub with a pointing of its own')
  near(t, realSubCount({ ...shared, snr: 1 }) ?? NaN, 102 / 900, 1e-15, 'less than one sub')
  const joint = { ...shared, ditherPositions: (144 * 102) / 900 }
  near(t, realSubCount(joint) ?? NaN, 16.32, 1e-14, 'where the two forms meet')
  t.end()
})

void t.test('no number of subs reaches past the ceiling', (t) => {
  const given = { signalElectrons: 30, variance: 100, calibrationVariance: 4, ditherPositions: 1, snr: 15 }
  t.equal(realSubCount(given), null, 'at the ceiling')
  t.equal(realSubCount({ ...given, snr: 16 }), null, 'above it')
  t.equal(realSubCount({ ...given, signalElectrons: 0 }), null, 'without signal')
  t.equal(realSubCount({ ...given, signalElectrons: 1e-155, calibrationVariance: 0 }), null, 'past all numbers')
  t.end()
})
