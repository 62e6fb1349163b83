import t from 'tap'
import {
  AccountSubs,
  independentSnr,
  joinedStack,
  repeatedStack,
  stackSnr,
  stackSums,
  subWeight,
  subYield,
  subYields,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'
import { chanceSub, pixelModel, subsOfChance } from './models.ts'

void t.test('sums go by the terms of each sub', (t) => {
  const model = pixelModel({
    underlyingElectronsPerPixelSecond: 0.02,
    effectivePixels: 9,
    calibration: { flatFrames: 2, flatElectrons: 400, ditherPositions: 30 },
    masters: [3, 5],
  })
  const subs = subsOfChance(3, 25, 2)
  const sums = stackSums(subs, model, 'inverse-variance')
  const yields = subYields(subs, model)
  let signal = 0
  let variance = 0
  const byMaster = [0, 0]
  for (let index = 0; index < subs.count; index++) {
    const sub = subs.at(index)
    const yielded = subYield(sub, model)
    near(t, yields.signals[index] ?? NaN, yielded.signal, 1e-12, 'signal of one')
    near(t, yields.variances[index] ?? NaN, yielded.variance, 1e-12, 'variance of one')
    const weight = subWeight(yielded)
    signal += weight * yielded.signal
    variance += weight ** 2 * yielded.variance
    byMaster[sub.master] = (byMaster[sub.master] ?? 0) + weight
  }
  near(t, sums.signal, signal, 1e-12, 'signal')
  near(t, sums.variance, variance, 1e-12, 'variance')
  near(t, sums.byMaster[0] ?? 0, byMaster[0] ?? NaN, 1e-12, 'one master')
  near(t, sums.byMaster[1] ?? 0, byMaster[1] ?? NaN, 1e-12, 'the other')
  t.end()
})

void t.test('a session split in two and joined is the whole, and four times as many subs give twice the ratio', (t) => {
  const model = pixelModel({ calibration: { darkFrames: 4 }, masters: [2, 7] })
  const random = seededRandom(5)
  const all = Array.from({ length: 30 }, () => chanceSub(random, 2))
  const whole = stackSums(AccountSubs.of(...all), model, 'inverse-variance')
  const parts = [all.slice(0, 11), all.slice(11)].map((part) =>
    stackSums(AccountSubs.of(...part), model, 'inverse-variance'),
  )
  const [one, other] = parts
  if (one === undefined || other === undefined) throw new Error('two parts')
  near(t, stackSnr(joinedStack(one, other), model), stackSnr(whole, model), 1e-12, 'joined')
  near(t, independentSnr(one) ** 2 + independentSnr(other) ** 2, independentSnr(whole) ** 2, 1e-12, 'in squares')
  near(t, independentSnr(repeatedStack(whole, 4)), 2 * independentSnr(whole), 1e-12, 'four times')
  t.end()
})
