// Laws that hold for every star, whatever its numbers.

import fc from 'fast-check'
import t from 'tap'
import type { Combine } from '../../../src/engine/exposure/estimators.ts'
import { leastSubCount } from '../../../src/engine/exposure/stack.ts'
import { starCeilingSnr, starStackBudget, starSubBudget, type StarInput } from '../../../src/engine/exposure/star.ts'
import { calibration, extreme, holds, isFinite, logUniform, rates, readout } from './arbitraries.ts'

const anyStar: fc.Arbitrary<StarInput> = fc.record({
  starElectronsPerSecond: logUniform(1e-3, 1e6),
  capturedFraction: fc.double({ min: 0.01, max: 1, noNaN: true }),
  aperturePixels: logUniform(0.1, 1e4),
  backgroundPixels: fc.option(fc.integer({ min: 1, max: 1e6 }), { nil: undefined }),
  squaredShares: fc.double({ min: 0, max: 1, noNaN: true }),
  rates,
  readout,
  subSeconds: logUniform(0.001, 86400),
  calibration,
})
const combines = fc.constantFrom<Combine>('mean', 'median', 'clipped-mean')

void t.test('more subs never lower the ratio, four times as many double it, none passes the ceiling', (t) => {
  holds(
    fc.property(anyStar, combines, fc.integer({ min: 1, max: 1e8 }), (it, combine, count) => {
      const of = (subCount: number) => starStackBudget({ ...it, subCount, combine }).snr
      const free = (subCount: number) => starStackBudget({ ...it, calibration: {}, subCount, combine: 'mean' }).snr
      const ceiling = starCeilingSnr(it) ?? Infinity
      const rises = of(count + 1) >= of(count) * (1 - 1e-14)
      return rises && free(4 * count) === 2 * free(count) && of(count) <= ceiling * (1 + 1e-14)
    }),
    { seed: 229, numRuns: 500 },
  )
  t.pass('any star')
  t.end()
})

void t.test('the solved count of subs reaches the goal, one less does not', (t) => {
  holds(
    fc.property(anyStar, combines, logUniform(0.01, 1e4), (it, combine, goal) => {
      const of = (subCount: number) => starStackBudget({ ...it, subCount, combine }).snr
      const ceiling = starCeilingSnr(it)
      if (goal >= (ceiling ?? Infinity) || of(1e9) < goal) return true
      const count = leastSubCount(of, goal, ceiling)
      return of(count) >= goal && (count === 1 || of(count - 1) < goal)
    }),
    { seed: 230, numRuns: 300 },
  )
  t.pass('least')
  t.end()
})

void t.test('brighter background, more read noise and fewer background pixels never raise the ratio', (t) => {
  holds(
    fc.property(anyStar, logUniform(1.0001, 1e4), (it, more) => {
      const base = starSubBudget(it).snr * (1 + 1e-14)
      const { rates: r, readout: read } = it
      const worse = [
        { ...it, rates: { ...r, targetElectronsPerPixelSecond: r.targetElectronsPerPixelSecond * more } },
        { ...it, rates: { ...r, skyElectronsPerPixelSecond: r.skyElectronsPerPixelSecond * more } },
        { ...it, rates: { ...r, darkElectronsPerPixelSecond: r.darkElectronsPerPixelSecond * more } },
        { ...it, readout: { ...read, readNoiseElectrons: read.readNoiseElectrons * more } },
        { ...it, backgroundPixels: (it.backgroundPixels ?? 1e6) / more },
      ]
      return worse.every((given) => starSubBudget(given).snr <= base)
    }),
    { seed: 231, numRuns: 300 },
  )
  t.pass('never')
  t.end()
})

void t.test('every figure is finite, whatever comes', (t) => {
  const extremes = fc.record({
    starElectronsPerSecond: extreme(1e9),
    capturedFraction: extreme(1),
    squaredShares: extreme(1),
    target: extreme(1e9),
    sky: extreme(1e9),
    readNoiseElectrons: extreme(1000),
    subSeconds: logUniform(0.001, 86400),
    subCount: fc.oneof(fc.constant(1e9), fc.integer({ min: 1, max: 1e9 })),
  })
  holds(
    fc.property(anyStar, extremes, combines, (base, it, combine) => {
      const given: StarInput = {
        ...base,
        ...it,
        rates: { ...base.rates, targetElectronsPerPixelSecond: it.target, skyElectronsPerPixelSecond: it.sky },
        readout: { ...base.readout, readNoiseElectrons: it.readNoiseElectrons },
      }
      const stack = starStackBudget({ ...given, subCount: it.subCount, combine })
      return isFinite([starSubBudget(given), stack, starCeilingSnr(given)])
    }),
    { seed: 232, numRuns: 1000 },
  )
  t.pass('finite')
  t.end()
})
