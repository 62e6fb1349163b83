// Laws that hold for every stack, whatever its numbers.

import fc from 'fast-check'
import t from 'tap'
import { calibrationVariance } from '../../../src/engine/exposure/calibration-noise.ts'
import type { Combine } from '../../../src/engine/exposure/estimators.ts'
import { noiseBudget, subNoiseTerms, totalVariance } from '../../../src/engine/exposure/noise.ts'
import {
  ceilingSnr,
  leastSubCount,
  MOST_SUBS,
  realSubCount,
  stackBudget,
  type StackInput,
} from '../../../src/engine/exposure/stack.ts'
import {
  calibration,
  extremeRates,
  extremeReadout,
  holds,
  isFinite,
  logUniform,
  rates,
  readout,
} from './arbitraries.ts'

const anyStack = fc
  .record({
    rates,
    readout,
    subSeconds: logUniform(0.001, 86400),
    combine: fc.constantFrom<Combine>('mean', 'median', 'clipped-mean'),
    calibration,
  })
  .filter((it) => it.rates.targetElectronsPerPixelSecond > 0)
const PLAIN = {
  rates: { targetElectronsPerPixelSecond: 0.5, skyElectronsPerPixelSecond: 2, darkElectronsPerPixelSecond: 0.1 },
  readout: { readNoiseElectrons: 3, quantizationElectrons2: 0.75 },
  subSeconds: 60,
  calibration: {},
}
const snrOf = (it: Omit<StackInput, 'subCount'>) => (subCount: number) => stackBudget({ ...it, subCount }).snr

void t.test('more subs never lower the ratio', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1e9 }), fc.integer({ min: 1, max: 300 }), (it, count, more) => {
      const snr = snrOf(it)
      // Rounding aside; an even median of many is as good as the next odd one to the last bit.
      return snr(Math.min(count + more, 1e9)) >= snr(count) * (1 - 1e-14)
    }),
    { seed: 218, numRuns: 500 },
  )
  for (const combine of ['mean', 'median', 'clipped-mean'] as const) {
    for (const ditherPositions of [1, 2, 5, 11, 30, 500]) {
      const it = { ...PLAIN, combine, calibration: { darkFrames: 2, ditherPositions } }
      const ratios = Array.from({ length: 400 }, (_, index) => snrOf(it)(index + 1))
      t.ok(
        ratios.every((snr, index) => snr > (ratios[index - 1] ?? 0)),
        `${combine}, ${ditherPositions} pointings: 1 to 400 one by one`,
      )
    }
  }
  t.end()
})

void t.test('four times the subs are exactly twice the ratio', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1e8 }), (it, count) => {
      const snr = snrOf({ ...it, combine: 'mean', calibration: {} })
      return snr(4 * count) === 2 * snr(count)
    }),
    { seed: 219, numRuns: 500 },
  )
  t.pass('to the last bit')
  t.end()
})

/** Darks of the length of the subs, and flats. */
const CALIBRATION_FRAMES = {
  darkFrames: fc.integer({ min: 1, max: 1000 }),
  flatFrames: fc.integer({ min: 1, max: 1000 }),
  flatElectrons: logUniform(1, 1e6),
}

void t.test('at one total time longer subs never lower the ratio', (t) => {
  const factor = fc.integer({ min: 2, max: 1000 })
  const frames = fc.record(CALIBRATION_FRAMES)
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1000 }), factor, frames, (it, count, k, calibration) => {
      const base = { ...it, combine: 'mean' as const, calibration }
      const short = stackBudget({ ...base, subCount: count * k }).snr
      const long = stackBudget({ ...base, subCount: count, subSeconds: it.subSeconds * k }).snr
      return long >= short * (1 - 1e-14)
    }),
    { seed: 220, numRuns: 500 },
  )
  t.pass('never')
  t.end()
})

void t.test('a thousandth of the light in a thousand times the time is the same stack', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 1, max: 20 }), (it, count, power) => {
      const k = 2 ** power
      const dimmer = {
        targetElectronsPerPixelSecond: it.rates.targetElectronsPerPixelSecond / k,
        skyElectronsPerPixelSecond: it.rates.skyElectronsPerPixelSecond / k,
        darkElectronsPerPixelSecond: it.rates.darkElectronsPerPixelSecond / k,
      }
      return snrOf({ ...it, rates: dimmer, subSeconds: it.subSeconds * k })(count) === snrOf(it)(count)
    }),
    { seed: 221, numRuns: 300 },
  )
  t.pass('to the last bit for powers of two')
  t.end()
})

void t.test('brighter sky, warmer sensor, more read noise and fewer frames never raise the ratio', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1e6 }), logUniform(1.0001, 1e4), (it, count, more) => {
      const base = snrOf(it)(count) * (1 + 1e-14)
      const { rates: r, readout: read } = it
      const worse = [
        { ...it, rates: { ...r, skyElectronsPerPixelSecond: r.skyElectronsPerPixelSecond * more } },
        { ...it, rates: { ...r, darkElectronsPerPixelSecond: r.darkElectronsPerPixelSecond * more } },
        { ...it, readout: { ...read, readNoiseElectrons: read.readNoiseElectrons * more } },
        { ...it, readout: { ...read, quantizationElectrons2: read.quantizationElectrons2 * more } },
        { ...it, calibration: { ...it.calibration, darkFrames: 1 } },
        { ...it, calibration: { ...it.calibration, flatFrames: 1 } },
        { ...it, calibration: { ...it.calibration, ditherPositions: 1 } },
      ]
      return worse.every((given) => snrOf(given)(count) <= base)
    }),
    { seed: 222, numRuns: 300 },
  )
  t.pass('never')
  t.end()
})

void t.test('calibration vanishes with many frames', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1000 }), (it, count) => {
      const many = { darkFrames: 1e18, flatFrames: 1e30, flatElectrons: 20000 }
      const free = snrOf({ ...it, calibration: {} })(count)
      return Math.abs(snrOf({ ...it, calibration: many })(count) / free - 1) < 1e-10
    }),
    { seed: 223, numRuns: 300 },
  )
  t.pass('to 1e-10')
  t.end()
})

void t.test('no stack passes the ceiling', (t) => {
  holds(
    fc.property(anyStack, fc.integer({ min: 1, max: 1e9 }), (it, count) => {
      const ceiling = ceilingSnr(it)
      return ceiling === null || snrOf(it)(count) <= ceiling * (1 + 1e-14)
    }),
    { seed: 224, numRuns: 500 },
  )
  t.pass('none')
  t.end()
})

void t.test('the solved count reaches the goal, one less does not', (t) => {
  holds(
    fc.property(anyStack, logUniform(0.01, 1e4), (it, goal) => {
      const snr = snrOf(it)
      const ceiling = ceilingSnr(it)
      if (goal >= (ceiling ?? Infinity) || snr(MOST_SUBS) < goal) return true
      const count = leastSubCount(snr, goal, ceiling)
      return snr(count) >= goal && (count === 1 || snr(count - 1) < goal)
    }),
    { seed: 225, numRuns: 500 },
  )
  t.pass('least')
  t.end()
})

void t.test('the real count lies within one sub below the whole one', (t) => {
  holds(
    fc.property(anyStack, logUniform(0.01, 1e4), (given, snr) => {
      const it = { ...given, combine: 'mean' as const }
      const ceiling = ceilingSnr(it)
      const real = realSubCount({
        signalElectrons: it.rates.targetElectronsPerPixelSecond * it.subSeconds,
        variance: totalVariance(subNoiseTerms(it)),
        calibrationVariance: calibrationVariance(it),
        ditherPositions: it.calibration.ditherPositions ?? 1,
        snr,
      })
      if (snr >= (ceiling ?? Infinity)) return real === null || real > 1e12 || snr < (ceiling ?? 0) * (1 + 1e-12)
      // A hair below the ceiling the difference of two equal numbers says nothing.
      if (snr > (ceiling ?? Infinity) * 0.9999 || real === null || real > 1e8) return true
      const whole = leastSubCount(snrOf(it), snr, ceiling)
      return real > (whole - 1) * (1 - 1e-9) && real <= whole * (1 + 1e-9)
    }),
    { seed: 226, numRuns: 1000 },
  )
  t.pass('within one')
  t.end()
})

void t.test('a stack of one is the sub', (t) => {
  holds(
    fc.property(anyStack, (it) => {
      const sub = noiseBudget(it.rates.targetElectronsPerPixelSecond * it.subSeconds, subNoiseTerms(it))
      return Math.abs(snrOf({ ...it, calibration: {} })(1) / sub.snr - 1) < 1e-15
    }),
    { seed: 227, numRuns: 200 },
  )
  t.pass('whatever the estimator')
  t.end()
})

void t.test('every figure is finite, whatever comes', (t) => {
  const combine = fc.constantFrom<Combine>('mean', 'median', 'clipped-mean')
  const count = fc.integer({ min: 1, max: 1e9 })
  const length = logUniform(0.001, 86400)
  holds(
    fc.property(
      extremeRates,
      extremeReadout,
      length,
      count,
      combine,
      calibration,
      (r, read, subSeconds, subCount, how, it) => {
        const given = { rates: r, readout: read, subSeconds, subCount, combine: how, calibration: it }
        const budget = stackBudget(given)
        const real = realSubCount({
          signalElectrons: budget.signalElectrons,
          variance: budget.noiseElectrons ** 2,
          calibrationVariance: calibrationVariance(given),
          ditherPositions: it.ditherPositions ?? 1,
          snr: 10,
        })
        return isFinite([budget, ceilingSnr(given), real])
      },
    ),
    { seed: 228, numRuns: 2000 },
  )
  t.pass('finite')
  t.end()
})
