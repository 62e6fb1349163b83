import t from 'tap'
import {
  AccountSubs,
  independentSnr,
  joinedStack,
  repeatedStack,
  stackOf,
  stackSnr,
  subTerms,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'
import { chanceSub, pixelModel } from './models.ts'

const calibration = { darkFrames: 4, flatFrames: 3, flatElectrons: 600, ditherPositions: 2 }
const model = pixelModel({ calibration, masters: [2, 7, 5] })
const random = seededRandom(5)
const all = Array.from({ length: 30 }, () => chanceSub(random, 2))
const of = (subs: typeof all) => stackOf(subTerms(AccountSubs.of(...subs), model), model)
const whole = of(all)

void t.test('a session split in two and joined is the whole', (t) => {
  const [one, other] = [of(all.slice(0, 11)), of(all.slice(11))]
  const joined = joinedStack(one, other)
  t.equal(joined.count, 30)
  near(t, stackSnr(joined, model), stackSnr(whole, model), 1e-12, 'joined')
  near(
    t,
    independentSnr(one, model) ** 2 + independentSnr(other, model) ** 2,
    independentSnr(whole, model) ** 2,
    1e-12,
    'in squares',
  )
  near(t, stackSnr(joinedStack(whole, of([])), model), stackSnr(whole, model), 1e-12, 'joined with nothing')
  t.end()
})

void t.test('a stack taken three times over is that of three times the subs', (t) => {
  const thrice = repeatedStack(whole, 3)
  t.equal(thrice.count, 90)
  near(t, stackSnr(thrice, model), stackSnr(of([...all, ...all, ...all]), model), 1e-12, 'three times')
  near(t, independentSnr(repeatedStack(whole, 4), model), 2 * independentSnr(whole, model), 1e-12, 'four times')
  t.end()
})

void t.test('subs alike stay below what their calibration allows, however many', (t) => {
  const [sub] = all
  if (sub === undefined) throw new Error('a sub')
  const snrs = [1e3, 1e6, 1e9, 1e12].map((times) => stackSnr(repeatedStack(of([sub]), times), model))
  t.same(
    [...snrs].sort((a, b) => a - b),
    snrs,
    'ever higher',
  )
  near(t, snrs[3] ?? NaN, snrs[2] ?? NaN, 1e-6, 'to a bound')
  t.end()
})
