import t from 'tap'
import {
  AccountSubs,
  joinedStack,
  repeatedStack,
  repeatsMissing,
  stackCeilingSnr,
  stackSnr,
  stackSums,
  subsMissing,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE } from './models.ts'

const subs = AccountSubs.of(...Array.from({ length: 20 }, (_, i) => ({ ...REFERENCE, transparency: 1 - 0.04 * i })))
const one = AccountSubs.of(REFERENCE)

void t.test('twice the ratio takes three times as much again, where calibration adds nothing', (t) => {
  const model = pixelModel()
  const sums = stackSums(subs, model, 'inverse-variance')
  near(t, repeatsMissing({ sums, model, snr: 2 * stackSnr(sums, model) }) ?? NaN, 3, 1e-9, 'three times')
  t.end()
})

void t.test('what is missing brings the stack to the goal', (t) => {
  for (const calibration of [{}, { darkFrames: 20 }, { darkFrames: 20, ditherPositions: 40 }]) {
    const model = pixelModel({ calibration, masters: [0.2] })
    const sums = stackSums(subs, model, 'inverse-variance')
    const sub = stackSums(one, model, 'inverse-variance')
    const snr = 1.5 * stackSnr(sums, model)
    const repeats = repeatsMissing({ sums, model, snr }) ?? NaN
    near(t, stackSnr(repeatedStack(sums, 1 + repeats), model), snr, 1e-9, 'the same again')
    const count = subsMissing({ sums, sub, model, snr }) ?? NaN
    near(t, stackSnr(joinedStack(sums, repeatedStack(sub, count)), model), snr, 1e-9, 'reference subs')
  }
  t.end()
})

void t.test('nothing is missing at the goal, and above the ceiling nothing helps', (t) => {
  const model = pixelModel({ calibration: { darkFrames: 4 }, masters: [2] })
  const sums = stackSums(subs, model, 'inverse-variance')
  const sub = stackSums(one, model, 'inverse-variance')
  const snr = stackSnr(sums, model)
  t.equal(repeatsMissing({ sums, model, snr }), 0)
  t.equal(subsMissing({ sums, sub, model, snr: snr / 2 }), 0)
  const above = 1.01 * (stackCeilingSnr(sums, model) ?? NaN)
  t.equal(repeatsMissing({ sums, model, snr: above }), null)
  t.equal(subsMissing({ sums, sub, model, snr: 10 * above }), null)
  const none = stackSums(new AccountSubs(0), model, 'inverse-variance')
  t.equal(repeatsMissing({ sums: none, model, snr: 1 }), null, 'nothing again and again is nothing')
  t.end()
})
