import fc from 'fast-check'
import t from 'tap'
import {
  informationFor,
  informationOf,
  raisesPlainMean,
  stackBudget,
  measuredYield,
  subsToPlainSum,
  underCeiling,
  YieldSum,
  type MeasuredYield,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'

const readout = { readNoiseElectrons: 3, quantizationElectrons2: 1 }
const SEED = Number(process.env.FUZZ_SEED ?? 20261125)

void t.test('a sub by hand', (t) => {
  const one = measuredYield({
    transparency: 0.5,
    targetElectronsPerSecond: 0.2,
    backgroundElectronsPerSecond: 0.9,
    readout,
    subSeconds: 100,
  })
  t.same(one, { signalElectrons: 10, variance: 110 })
  near(t, informationOf(one), 100 / 110, 1e-12, 'information')
  const dark = {
    transparency: 1,
    targetElectronsPerSecond: 0,
    backgroundElectronsPerSecond: -1,
    readout,
    subSeconds: 9,
  }
  t.same(measuredYield(dark), { signalElectrons: 0, variance: 10 }, 'a background below nothing is none')
  t.equal(informationOf({ signalElectrons: 0, variance: 0 }), 0)
  t.end()
})

void t.test('alike subs make the stack of stackBudget, by either weights', (t) => {
  const rates = {
    targetElectronsPerPixelSecond: 0.1,
    skyElectronsPerPixelSecond: 0.7,
    darkElectronsPerPixelSecond: 0.02,
  }
  const one = measuredYield({
    transparency: 1,
    targetElectronsPerSecond: 0.1,
    backgroundElectronsPerSecond: 0.72,
    readout,
    subSeconds: 60,
  })
  const yields = Array.from({ length: 40 }, () => one)
  const calibration = { darkFrames: 10, ditherPositions: 4 }
  const { snr } = stackBudget({ rates, readout, subSeconds: 60, subCount: 40, combine: 'mean', calibration: {} })
  near(t, YieldSum.of(yields).information('optimal'), snr ** 2, 1e-9, 'optimal')
  near(t, YieldSum.of(yields).information('equal'), snr ** 2, 1e-9, 'equal')
  const held = stackBudget({ rates, readout, subSeconds: 60, subCount: 40, combine: 'mean', calibration }).snr
  const ceiling = (0.1 * 60 * 2) / Math.sqrt((0.02 * 60 + 10) / 10)
  near(t, underCeiling(snr ** 2, ceiling), held ** 2, 1e-9, 'with calibration')
  t.equal(underCeiling(5, null), 5)
  t.equal(YieldSum.of([]).information('equal'), 0)
  t.end()
})

void t.test('what is needed is the inverse of what is had', (t) => {
  near(t, underCeiling(informationFor(7, 9) ?? NaN, 9), 49, 1e-9, 'there and back')
  t.equal(informationFor(7, null), 49)
  t.equal(informationFor(7, 7), null)
  t.end()
})

void t.test('a plain sum gains by subs to come as by those it has', (t) => {
  const clear = { signalElectrons: 5.4, variance: 29.96 }
  const dim = { signalElectrons: 1.08, variance: 25.64 }
  const list = [...Array.from({ length: 20 }, () => clear), ...Array.from({ length: 10 }, () => dim)]
  const held = YieldSum.of(list)
  for (const [one, wanted, missing] of [
    [dim, 6, 596],
    [dim, 8, 1216],
    [clear, 6, 21],
  ] as const) {
    const subs = subsToPlainSum(held, one, wanted ** 2)
    const after = (count: number) =>
      informationOf({
        signalElectrons: held.signalElectrons + count * one.signalElectrons,
        variance: held.variance + count * one.variance,
      })
    near(t, after(subs), wanted ** 2, 1e-9, `${wanted}`)
    // Counted up one by one.
    let count = 0
    while (after(count) < wanted ** 2) count++
    t.equal(Math.ceil(subs), count)
    t.equal(count, missing)
  }
  near(t, subsToPlainSum(YieldSum.of([]), clear, 9), (9 * 29.96) / 5.4 ** 2, 1e-9, 'from nothing')
  t.equal(subsToPlainSum(held, { signalElectrons: 0, variance: 5 }, 36), Infinity)
  t.equal(subsToPlainSum(held, clear, 1), 0, 'had already')
  t.end()
})

void t.test('no weights beat the optimal ones, and dropping by the rule never lowers a plain mean', (t) => {
  const yields = fc.record({
    signalElectrons: fc.double({ min: 0.01, max: 100, noNaN: true }),
    variance: fc.double({ min: 0.1, max: 1000, noNaN: true }),
  })
  const property = fc.property(
    fc.array(yields, { minLength: 1, maxLength: 20 }),
    yields,
    (list: MeasuredYield[], typical) => {
      const most = YieldSum.of(list).information('optimal')
      if (YieldSum.of(list).information('equal') > most * (1 + 1e-9)) throw new Error('beaten')
      for (const sub of list) {
        const many = Array.from({ length: 20000 }, () => typical)
        const margin = (sub.variance * typical.signalElectrons) / (2 * sub.signalElectrons * typical.variance)
        if (Math.abs(margin - 1) < 0.05 || sub.signalElectrons > 20 * typical.signalElectrons) continue
        const gains = YieldSum.of([...many, sub]).information('equal') > YieldSum.of(many).information('equal')
        if (gains !== raisesPlainMean(sub, typical)) throw new Error(JSON.stringify({ sub, typical }))
      }
    },
  )
  fc.assert(property, { numRuns: 20, seed: SEED })
  t.pass()
  t.end()
})
