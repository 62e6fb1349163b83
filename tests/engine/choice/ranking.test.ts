import fc from 'fast-check'
import t from 'tap'
import {
  compareForMoney,
  compareOutcomes,
  gainParts,
  ranksOf,
  secondsSavedPerMoney,
  type GatheringRates,
  type PricedOutcome,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261125)

const outcome = (seconds: number | null, price = 100, nightSnr = 1): PricedOutcome => ({ seconds, price, nightSnr })

void t.test('what reaches the goal comes first, then what is quicker, then the better night', (t) => {
  t.ok(compareOutcomes(outcome(10), outcome(20)) < 0)
  t.ok(compareOutcomes(outcome(20), outcome(10)) > 0)
  t.ok(compareOutcomes(outcome(1e9), outcome(null, 0, 1e9)) < 0)
  t.ok(compareOutcomes(outcome(null, 0, 1e9), outcome(1e9)) > 0)
  t.ok(compareOutcomes(outcome(null, 0, 3), outcome(null, 0, 2)) < 0)
  t.ok(compareOutcomes(outcome(10, 0, 3), outcome(10, 0, 2)) < 0)
  t.equal(compareOutcomes(outcome(10), outcome(10)), 0)
  t.end()
})

void t.test('for money it is time × price that counts', (t) => {
  t.ok(compareForMoney(outcome(10, 100), outcome(30, 50)) < 0, '1000 against 1500')
  t.ok(compareForMoney(outcome(10, 100), outcome(20, 50)) < 0, 'a tie goes to the quicker')
  t.ok(compareForMoney(outcome(10, 0), outcome(10, 1)) < 0)
  t.ok(compareForMoney(outcome(null, 1), outcome(10, 1e6)) > 0, 'what never arrives is no bargain')
  t.ok(compareForMoney(outcome(null, 1), outcome(null, 2)) < 0)
  t.equal(compareForMoney(outcome(10, 5), outcome(10, 5)), 0)
  t.end()
})

void t.test('equals share a rank', (t) => {
  t.same(
    ranksOf([3, 1, 2, 1], (a, b) => a - b),
    [4, 1, 3, 1],
  )
  t.end()
})

void t.test('seconds saved for each unit of money', (t) => {
  t.equal(secondsSavedPerMoney(outcome(100, 10), outcome(40, 30)), 3)
  t.equal(secondsSavedPerMoney(outcome(100, 10), outcome(140, 30)), null, 'slower')
  t.equal(secondsSavedPerMoney(outcome(100, 10), outcome(40, 10)), null, 'no dearer')
  t.equal(secondsSavedPerMoney(outcome(null, 10), outcome(40, 30)), null)
  t.equal(secondsSavedPerMoney(outcome(100, 10), outcome(null, 30)), null)
  t.equal(secondsSavedPerMoney(outcome(1e300, 0), outcome(1, 1e-300)), null, 'beyond numbers')
  t.end()
})

void t.test(`an equal but dearer one never ranks better on money (seed ${SEED})`, (t) => {
  const one = fc.record({
    seconds: fc.option(fc.double({ min: 1, max: 1e9, noNaN: true })),
    price: fc.double({ min: 0, max: 1e6, noNaN: true }),
    nightSnr: fc.double({ min: 0, max: 1e3, noNaN: true }),
  })
  fc.assert(
    fc.property(
      fc.array(one, { minLength: 1, maxLength: 8 }),
      fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
      (all, more) => {
        const [first] = all
        if (first === undefined) return
        const ranks = ranksOf([...all, { ...first, price: first.price + more }], compareForMoney)
        if ((ranks.at(-1) ?? NaN) <= (ranks[0] ?? NaN)) throw new Error(`ranks ${ranks.join()}`)
      },
    ),
    { numRuns: 500, seed: SEED },
  )
  t.pass('it ranks behind')
  t.end()
})

const rates = (over: Partial<GatheringRates> = {}): GatheringRates => ({
  signalElectronsPerSecond: 1,
  noise: { target: 1, sky: 6, dark: 2, read: 1, quantization: 0, calibration: 0 },
  exposureShare: 0.8,
  ...over,
})

void t.test('a gain is told by its parts, which add up', (t) => {
  const half = gainParts(rates(), rates({ noise: { ...rates().noise, sky: 1 } }))
  near(t, half.sky, Math.log(2), 1e-12, 'noise halved by the sky alone')
  t.same([half.signal, half.dark, half.read, half['dead-time']], [0, 0, 0, 0])
  const aperture = gainParts(
    rates(),
    rates({ signalElectronsPerSecond: 2, noise: { ...rates().noise, target: 2, sky: 12, dark: 4, read: 2 } }),
  )
  near(t, aperture.signal, Math.log(2), 1e-12, 'twice the signal and twice all noise')
  t.same([aperture.sky, aperture.dark, aperture.read], [0, 0, 0])
  near(t, gainParts(rates(), rates({ exposureShare: 0.4 }))['dead-time'], -Math.log(2), 1e-12, 'half the clock')
  const after = rates({
    signalElectronsPerSecond: 3,
    exposureShare: 0.9,
    noise: { target: 3, sky: 4, dark: 0.1, read: 5, quantization: 0.2, calibration: 0.3 },
  })
  const sum = Object.values(gainParts(rates(), after)).reduce((a, b) => a + b)
  near(t, sum, Math.log((0.9 * 9) / 12.6 / ((0.8 * 1) / 10)), 1e-12, 'ln of the ratio of e s²/Σ n')
  t.end()
})
