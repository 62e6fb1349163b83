import t from 'tap'
import {
  AccountSubs,
  efficiency,
  EqualStack,
  joinedStack,
  repeatedStack,
  repeatsMissing,
  stackOf,
  stackSnr,
  subsMissing,
  subTerms,
  type AccountModel,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE } from './models.ts'

const subs = AccountSubs.of(...Array.from({ length: 20 }, (_, i) => ({ ...REFERENCE, transparency: 1 - 0.04 * i })))
const one = AccountSubs.of(REFERENCE)

const of = (its: AccountSubs, model: AccountModel) => stackOf(subTerms(its, model), model)
const efficiencyOf = () => 1

void t.test('twice the ratio takes three times as much again, where calibration adds nothing', (t) => {
  const model = pixelModel()
  const stack = of(subs, model)
  near(
    t,
    repeatsMissing({ stack, model, efficiencyOf, snr: 2 * stackSnr(stack, model) }) ?? NaN,
    3,
    1e-9,
    'three times',
  )
  t.end()
})

void t.test('what is missing brings the stack to the goal', (t) => {
  for (const calibration of [{}, { darkFrames: 20 }, { darkFrames: 20, ditherPositions: 40 }]) {
    const model = pixelModel({ calibration, masters: [0.2] })
    const stack = of(subs, model)
    const sub = of(one, model)
    const snr = 1.5 * stackSnr(stack, model)
    const repeats = repeatsMissing({ stack, model, efficiencyOf, snr }) ?? NaN
    near(t, stackSnr(repeatedStack(stack, 1 + repeats), model), snr, 1e-9, 'the same again')
    const count = subsMissing({ stack, sub, model, efficiencyOf, snr }) ?? NaN
    near(t, stackSnr(joinedStack(stack, repeatedStack(sub, count)), model), snr, 1e-9, 'reference subs')
  }
  t.end()
})

void t.test('nothing is missing at the goal, and above the ceiling nothing helps', (t) => {
  const model = pixelModel({ calibration: { darkFrames: 4 }, masters: [2] })
  const stack = of(subs, model)
  const sub = of(one, model)
  const snr = stackSnr(stack, model)
  t.equal(repeatsMissing({ stack, model, efficiencyOf, snr }), 0)
  t.equal(subsMissing({ stack, sub, model, efficiencyOf, snr: snr / 2 }), 0)
  const above = 1.01 * (EqualStack.of(subTerms(one, model), model).ceilingSnr ?? NaN)
  t.equal(repeatsMissing({ stack: sub, model, efficiencyOf, snr: above }), null)
  t.ok((repeatsMissing({ stack, model, efficiencyOf, snr: above }) ?? 0) > 1, 'subs that differ tell the error apart')
  t.equal(subsMissing({ stack, sub, model, efficiencyOf, snr: 10 * above }), null)
  const none = of(new AccountSubs(0), model)
  t.equal(repeatsMissing({ stack: none, model, efficiencyOf, snr: 1 }), null, 'nothing again and again is nothing')
  t.end()
})

void t.test('a median keeps what it keeps of the subs there are at the end', (t) => {
  const model = pixelModel({ efficiency: efficiency({ combine: 'median', count: 3 }) })
  const stack = of(AccountSubs.of(REFERENCE, REFERENCE, REFERENCE), model)
  const asked = { stack, model, efficiencyOf: (count: number) => efficiency({ combine: 'median', count }) }
  const atEnd = { ...model, efficiency: efficiency({ combine: 'median', count: 40 }) }
  const snr = stackSnr(repeatedStack(stack, 40 / 3), atEnd)
  near(t, repeatsMissing({ ...asked, snr }) ?? NaN, 37 / 3, 0.02, 'forty in all')
  near(t, subsMissing({ ...asked, sub: of(one, model), snr }) ?? NaN, 37, 0.02, 'thirty-seven more')
  const constant = repeatsMissing({ ...asked, efficiencyOf: () => model.efficiency, snr }) ?? NaN
  t.ok(constant < 0.9 * (37 / 3), 'three subs keep more of a mean than many do')
  t.end()
})
