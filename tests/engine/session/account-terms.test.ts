import t from 'tap'
import {
  AccountSubs,
  subTerms,
  subYield,
  termsWithout,
  type AccountSub,
  type Relief,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE, subAt, subsOfChance } from './models.ts'

const model = pixelModel({ underlyingElectronsPerPixelSecond: 0.02, effectivePixels: 9 })

void t.test('the columns are what each sub holds', (t) => {
  const subs = subsOfChance(3, 25, 2)
  const { signals, variances, backgrounds, masters } = subTerms(subs, model)
  for (let index = 0; index < 25; index++) {
    const sub = subAt(subs, index)
    const { signal, variance } = subYield(sub, model)
    near(t, signals[index] ?? NaN, signal, 1e-12, 'signal')
    near(t, variances[index] ?? NaN, variance, 1e-12, 'variance')
    const sky = sub.skyElectronsPerPixelSecond + 0.02 * sub.transparency
    near(t, backgrounds[index] ?? NaN, sky * sub.subSeconds, 1e-12, 'what the flat divides')
    t.equal(masters[index], sub.master)
  }
  t.end()
})

void t.test('relief lays bounds on a sub, and leaves one within them as it is', (t) => {
  const of = (sub: Partial<AccountSub>, relief: Relief = {}) =>
    subTerms(AccountSubs.of({ ...REFERENCE, ...sub }), model, relief)
  const bounds: [Partial<AccountSub>, Relief][] = [
    [{ transparency: 0.7 }, { leastTransparency: 0.7 }],
    [{ skyElectronsPerPixelSecond: 0.2 }, { mostSky: 0.2 }],
    [{ darkElectronsPerPixelSecond: 0.001 }, { mostDark: 0.001 }],
    [{ capturedFraction: 0.9 }, { leastCaptured: 0.9 }],
  ]
  const bad = {
    transparency: 0.1,
    skyElectronsPerPixelSecond: 5,
    darkElectronsPerPixelSecond: 1,
    capturedFraction: 0.2,
  }
  for (const [bound, relief] of bounds) {
    t.same(of(bad, relief), of({ ...bad, ...bound }))
    t.same(of(bound, relief), of(bound))
  }
  t.end()
})

void t.test('subs can be left out', (t) => {
  const terms = subTerms(subsOfChance(6, 5, 2), model)
  const kept = termsWithout(terms, [0, 3])
  for (const name of ['signals', 'variances', 'backgrounds', 'masters'] as const) {
    t.same(
      [...kept[name]],
      [1, 2, 4].map((index) => terms[name][index]),
    )
  }
  t.end()
})
