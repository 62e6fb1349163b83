// What an account must not say: another star than the noise budget, rounding as uncertainty, a wrong cause.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { near } from '../support/near.ts'
import { ask, filterOf, SETUP, sub, type Line } from './session-account-logs.ts'

void t.test('a star is that of the noise budget, to the last digits', async (t) => {
  const star = {
    ...SETUP,
    camera: { ...SETUP.camera, pixelSizeUm: 3.76 },
    optics: { apertureMm: 100, focalLengthMm: 500 },
    target: { starElectronsPerSecond: 3 },
  }
  for (const plan of [
    { fwhmArcsec: 3 },
    { fwhmArcsec: 3, backgroundPixels: 300, calibration: { darkFrames: 10, flatFrames: 10, flatElectrons: 10_000 } },
  ]) {
    const { answer } = await ask({ ...star, plan, subs: Array.from({ length: 6 }, (_, index) => sub(index * 2.1)) })
    const budget = noiseBudget.handle({ ...star, plan: { ...plan, subSeconds: 120, subCount: 6 } })
    near(t, filterOf(answer).weighted.snr, budget.star?.stack.snr ?? NaN, 1e-12, 'the same aperture')
  }
})

void t.test(
  'what moves by rounding alone is not called uncertain, and one sub has no weights to gain by',
  async (t) => {
    const target = { electronsPerPixelSecond: { value: 0.05, standardUncertainty: 0.01 } }
    const { answer } = await ask({ ...SETUP, target, subs: [sub(0), sub(2.1)] })
    t.same(
      answer.uncertainty?.map(({ quantity }) => quantity),
      ['/filters/0/weighted/snr', '/filters/0/equal/snr'],
    )
    t.ok(answer.explanation.some((sentence) => sentence.includes('weights would gain next to nothing')))
    const one = await ask({ ...SETUP, subs: [sub(0)] })
    t.notOk(one.answer.explanation.some((sentence) => sentence.includes('weights')))
  },
)

void t.test('the cause of lost subs is named by what the log says of them', async (t) => {
  const rejected = (given: Line) =>
    Array.from({ length: 40 }, (_, i) => sub(i * 2.1, i < 30 ? { accepted: false, ...given } : {}))
  const explained = async (given: Line) =>
    (await ask({ ...SETUP, subs: rejected(given) })).answer.heldBack[0]?.explanation
  t.match(await explained({ rejectedFor: 'thin cloud' }), /^Cloud held the session back most of all, by 60 min/)
  t.match(await explained({}), /^Cloud \(the log gives no reason, but many subs in a row are lost\) held/)
  t.match(await explained({ rejectedFor: 'guiding' }), /^Subs rejected in a row for “guiding” held/)
  t.match(await explained({ rejectedFor: 'satellite train' }), /^Subs rejected in a row for “satellite train” held/)
  t.match(await explained({ relativeStarFlux: 1 }), /^Subs rejected in a row held/)
})

void t.test('words that only hold the name of a cloud are none', async (t) => {
  const factors = async (rejectedFor: string) => {
    const subs = Array.from({ length: 40 }, (_, i) => sub(i * 2.1, i % 4 === 0 ? { accepted: false, rejectedFor } : {}))
    return (await ask({ ...SETUP, subs })).answer.heldBack.map(({ factor }) => factor)
  }
  for (const word of ['satellite train', 'power drain', 'Mistaken focus']) {
    const found = await factors(word)
    t.ok(found.includes('rejected') && !found.includes('cloud'), word)
  }
  for (const word of ['thin clouds', 'Hazy', 'fog', 'mist', 'overcast', 'rain showers', 'snow']) {
    const found = await factors(word)
    t.ok(found.includes('cloud') && !found.includes('rejected'), word)
  }
})

void t.test('a second camera that loses nothing changes neither interruptions nor causes of the first', async (t) => {
  const lost = (index: number) => index >= 20 && index < 30
  const ofL = (index: number) => sub(index * 2.1, { filter: 'L', ...(lost(index) && { accepted: false }) })
  const told = async (subs: Line[]) => {
    const filters = [{ label: 'L' }, { label: 'Ha' }]
    const { answer } = await ask({ ...SETUP, filters, subs })
    const { count, watchedSeconds } = answer.interruptions
    return { count, watchedSeconds, cloud: answer.heldBack.find(({ factor }) => factor === 'cloud'), answer }
  }
  const alone = await told(Array.from({ length: 40 }, (_, index) => ofL(index)))
  t.equal(alone.count, 1)
  t.equal(alone.watchedSeconds, 120 * (20 + 0.5 + 9))
  t.match(alone.cloud?.explanation, /^Cloud \(the log gives no reason, but many subs in a row are lost\)/)
  for (const apart of [0, 0.05, 1]) {
    const both = await told(
      Array.from({ length: 40 }, (_, index) => [ofL(index), sub(index * 2.1 + apart, { filter: 'Ha' })]).flat(),
    )
    t.equal(both.count, 1, `${apart} min apart`)
    t.equal(both.watchedSeconds, alone.watchedSeconds + 40 * 120)
    t.match(both.cloud?.explanation, /many subs in a row are lost/)
    t.equal(filterOf(both.answer).clockSeconds, filterOf(alone.answer).clockSeconds)
  }
})
