import fc from 'fast-check'
import t from 'tap'
import {
  temperatureMismatch,
  temperatureTolerance,
  type MismatchQuestion,
} from '../../../src/engine/detector/calibration-mismatch.ts'
import { near, refuses, within } from '../../support/near.ts'

// At -10 °C 0.02 e⁻/s; a sub of 100 s has 2 of dark, 94 of sky and 4 of read noise: V = 100; 25 subs: noise 50.
const QUESTION: MismatchQuestion = {
  law: { reference: { electronsPerPixelSecond: 0.02, atCelsius: -10 }, doublingCelsius: 6 },
  lightCelsius: -10,
  hotPixelElectronsPerSecond: 2,
  targetElectronsPerPixelSecond: 0.04,
  skyElectronsPerPixelSecond: 0.9,
  readout: { readNoiseElectrons: 2, quantizationElectrons2: 0 },
  subSeconds: 100,
  subCount: 25,
  ditherPositions: 1,
}

void t.test('darks a doubling step too cold leave half of the dark current, a hot pixel half of its own', (t) => {
  const { ordinary, hot } = temperatureMismatch({ ...QUESTION, darkCelsius: -16 })
  near(t, ordinary.perSubElectrons, 1, 1e-12, 'ordinary')
  near(t, ordinary.overStackNoise, 25 / 50, 1e-12, 'N r/√(N V)')
  t.equal(ordinary.overStackNoise, ordinary.overStackNoiseWithoutDither)
  near(t, hot.perSubElectrons, 100, 1e-12, 'hot')
  near(t, hot.overStackNoise, 2500 / 50, 1e-12, 'hot, over the noise')
  t.end()
})

void t.test('darks too warm take too much', (t) => {
  const { ordinary, hot } = temperatureMismatch({ ...QUESTION, darkCelsius: -4 })
  near(t, ordinary.perSubElectrons, -2, 1e-12, 'ordinary')
  near(t, hot.overStackNoise, -100, 1e-12, 'hot')
  t.end()
})

void t.test('dither spreads the residual: 1/√M on ordinary pixels, 1/M of the subs under a hot one', (t) => {
  const { ordinary, hot } = temperatureMismatch({ ...QUESTION, ditherPositions: 25, darkCelsius: -16 })
  near(t, ordinary.overStackNoise, 25 / 50 / 5, 1e-12, 'ordinary')
  near(t, hot.overStackNoise, 2500 / 50 / 25, 1e-12, 'hot')
  near(t, ordinary.overStackNoiseWithoutDither, 25 / 50, 1e-12, 'ordinary, without')
  near(t, hot.overStackNoiseWithoutDither, 2500 / 50, 1e-12, 'hot, without')
  const more = temperatureMismatch({ ...QUESTION, ditherPositions: 1000, darkCelsius: -16 })
  near(t, more.hot.overStackNoise, 2, 1e-12, 'no more positions than subs')
  t.end()
})

void t.test('the same temperature leaves nothing', (t) => {
  const { ordinary, hot } = temperatureMismatch({ ...QUESTION, darkCelsius: -10 })
  t.equal(ordinary.perSubElectrons, 0)
  t.equal(hot.overStackNoise, 0)
  t.end()
})

void t.test('tolerance: the residual squared is the share of the variance, in closed form', (t) => {
  // r = √0.01 · √(V/N) = 0.2 e⁻ of 2: 2^(ΔT/6) = 0.9 and 1.1; a hot pixel of 2 e⁻/s: 0.999 and 1.001.
  const { ordinary, hot } = temperatureTolerance({ ...QUESTION, varianceShare: 0.01 })
  within(t, Number(ordinary.colderCelsius), -6 * Math.log2(0.9), 1e-9, 'colder')
  within(t, Number(ordinary.warmerCelsius), 6 * Math.log2(1.1), 1e-9, 'warmer')
  within(t, Number(hot.colderCelsius), -6 * Math.log2(0.999), 1e-9, 'hot, colder')
  within(t, Number(hot.warmerCelsius), 6 * Math.log2(1.001), 1e-9, 'hot, warmer')
  const dithered = temperatureTolerance({ ...QUESTION, ditherPositions: 25, varianceShare: 0.01 })
  within(t, Number(dithered.ordinary.warmerCelsius), 6 * Math.log2(1.5), 1e-9, 'dithered: five times the residual')
  within(t, Number(dithered.hot.warmerCelsius), 6 * Math.log2(1.025), 1e-9, 'dithered, hot: 25 times')
  t.end()
})

void t.test('where even no dark current at all would do, darks may be as cold as they like', (t) => {
  const { ordinary } = temperatureTolerance({ ...QUESTION, varianceShare: 2 })
  t.equal(ordinary.colderCelsius, null)
  within(t, Number(ordinary.warmerCelsius), 6 * Math.log2(1 + Math.SQRT2), 1e-9, 'warmer')
  const steep = temperatureTolerance({ ...QUESTION, law: { ...QUESTION.law, doublingCelsius: 50 }, varianceShare: 10 })
  within(t, Number(steep.ordinary.warmerCelsius), 50 * Math.log2(1 + Math.sqrt(10)), 1e-9, 'a long step, up to 93 °C')
  const cold = { reference: { electronsPerPixelSecond: 1e-9, atCelsius: 0 }, doublingCelsius: 20 }
  const none = temperatureTolerance({ ...QUESTION, law: cold, varianceShare: 0.1 })
  t.same(none.ordinary, { colderCelsius: null, warmerCelsius: null })
  t.end()
})

void t.test('a camera without dark current, or a pixel that is not hot, has no limit', (t) => {
  const law = { reference: { electronsPerPixelSecond: 0, atCelsius: 0 } }
  const limitless = { colderCelsius: null, warmerCelsius: null }
  t.same(temperatureTolerance({ ...QUESTION, law, varianceShare: 0.01 }), { ordinary: limitless, hot: limitless })
  const tame = temperatureTolerance({ ...QUESTION, hotPixelElectronsPerSecond: 0, varianceShare: 0.01 })
  t.same(tame.hot, limitless)
  t.equal(temperatureMismatch({ ...QUESTION, law, darkCelsius: 20 }).hot.perSubElectrons, 0)
  t.end()
})

void t.test('darks at the edge of the tolerance leave just the share', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: -30, max: 20, noNaN: true }),
      fc.double({ min: -3, max: 0, noNaN: true }),
      fc.integer({ min: 1, max: 25 }),
      (lightCelsius, exponent, ditherPositions) => {
        const { reference } = QUESTION.law
        const asked = { ...QUESTION, law: { reference }, lightCelsius, ditherPositions }
        const varianceShare = 10 ** exponent
        const { ordinary, hot } = temperatureTolerance({ ...asked, varianceShare })
        const leaves = (kind: 'ordinary' | 'hot', darkCelsius: number) =>
          Math.abs(temperatureMismatch({ ...asked, darkCelsius })[kind].overStackNoise ** 2 / varianceShare - 1) < 1e-5
        return (
          (ordinary.warmerCelsius === null || leaves('ordinary', lightCelsius + ordinary.warmerCelsius)) &&
          (ordinary.colderCelsius === null || leaves('ordinary', lightCelsius - ordinary.colderCelsius)) &&
          (hot.warmerCelsius === null || leaves('hot', lightCelsius + hot.warmerCelsius)) &&
          (hot.colderCelsius === null || leaves('hot', lightCelsius - hot.colderCelsius))
        )
      },
    ),
    { numRuns: 200, seed: 10 },
  )
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const refused = (change: Partial<MismatchQuestion>) => {
    const what = JSON.stringify(change)
    refuses(t, () => temperatureMismatch({ ...QUESTION, ...change, darkCelsius: 0 }), 'out-of-range', what)
  }
  refused({ hotPixelElectronsPerSecond: -1 })
  refused({ subSeconds: 0 })
  refused({ subCount: 0 })
  refused({ ditherPositions: 0.5 })
  refused({ lightCelsius: 200 })
  refuses(t, () => temperatureMismatch({ ...QUESTION, darkCelsius: -200 }), 'out-of-range', 'darks')
  refuses(t, () => temperatureTolerance({ ...QUESTION, varianceShare: 0 }), 'out-of-range', 'share')
  t.end()
})
