import t from 'tap'
import fc from 'fast-check'
import {
  noiseBudget,
  scaledTerms,
  subNoiseTerms,
  totalVariance,
  type NoiseTerms,
} from '../../../src/engine/exposure/noise.ts'
import { findRoot } from '../../../src/engine/root.ts'
import { near, refuses } from '../../support/near.ts'
import { extremeRates, extremeReadout, holds, isFinite, logUniform, rates, readout } from './arbitraries.ts'

const RATES = { targetElectronsPerPixelSecond: 0.5, skyElectronsPerPixelSecond: 2, darkElectronsPerPixelSecond: 0.1 }
const READOUT = { readNoiseElectrons: 3, quantizationElectrons2: 0.75 }
const NOTHING: NoiseTerms = { target: 0, sky: 0, dark: 0, read: 0, quantization: 0, calibration: 0 }

void t.test('every term of one sub', (t) => {
  const terms = subNoiseTerms({ rates: RATES, readout: READOUT, subSeconds: 60 })
  t.same(terms, { target: 30, sky: 120, dark: 6, read: 9, quantization: 0.75, calibration: 0 })
  t.equal(totalVariance({ ...terms, calibration: 2 }), 167.75)
  t.end()
})

void t.test('scaling multiplies every term', (t) => {
  t.same(scaledTerms({ target: 1, sky: 2, dark: 3, read: 4, quantization: 5, calibration: 6 }, 3), {
    target: 3,
    sky: 6,
    dark: 9,
    read: 12,
    quantization: 15,
    calibration: 18,
  })
  t.end()
})

void t.test('a budget is the ratio of mean to standard deviation, and the share of each term', (t) => {
  const budget = noiseBudget(75, { target: 30, sky: 120, dark: 30, read: 15, quantization: 5, calibration: 25 })
  t.equal(budget.signalElectrons, 75)
  t.equal(budget.noiseElectrons, 15)
  t.equal(budget.snr, 5)
  const expected = { target: 30, sky: 120, dark: 30, read: 15, quantization: 5, calibration: 25 }
  for (const [term, variance] of Object.entries(expected)) {
    near(t, budget.shares[term as keyof NoiseTerms], variance / 225, 1e-15, term)
  }
  t.end()
})

void t.test('without signal and noise the ratio is 0 and so are the shares', (t) => {
  t.same(noiseBudget(0, NOTHING), { signalElectrons: 0, noiseElectrons: 0, snr: 0, shares: NOTHING })
  t.end()
})

void t.test('shares add up to 1 even where the variance is next to nothing', (t) => {
  const { shares } = noiseBudget(0, { ...NOTHING, read: 1e-160 ** 2 })
  t.same(shares, { ...NOTHING, read: 1 })
  t.end()
})

void t.test('a sub takes time', (t) => {
  for (const subSeconds of [0, -1, NaN, Infinity]) {
    refuses(t, () => subNoiseTerms({ rates: RATES, readout: READOUT, subSeconds }), 'out-of-range', `${subSeconds} s`)
  }
  t.end()
})

void t.test('D-CCD-09 twenty-five electrons have a ratio of 5 exactly (unit tests of the reference function)', (t) => {
  const only = { ...RATES, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
  const none = { readNoiseElectrons: 0, quantizationElectrons2: 0 }
  const snr = (targetElectronsPerPixelSecond: number) =>
    noiseBudget(
      targetElectronsPerPixelSecond,
      subNoiseTerms({ rates: { ...only, targetElectronsPerPixelSecond }, readout: none, subSeconds: 1 }),
    ).snr
  t.equal(snr(25), 5, 'source 25')
  t.equal(snr(5 * 5), 5, 'source 5, gain 5')
  t.end()
})

void t.test('D-ADC-05 quantisation beside read noise (computed)', (t) => {
  const step = 3.1
  const quiet = { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
  const terms = subNoiseTerms({
    rates: quiet,
    readout: { readNoiseElectrons: 1.5, quantizationElectrons2: step ** 2 / 12 },
    subSeconds: 1,
  })
  near(t, Math.sqrt(terms.quantization), 0.89489, 6e-6, 'quantisation')
  near(t, noiseBudget(0, terms).noiseElectrons, 1.7467, 3e-5, 'total')
  t.end()
})

for (const { readNoiseElectrons, snr, electrons } of [
  { readNoiseElectrons: 0, snr: 10, electrons: 100 },
  { readNoiseElectrons: 0, snr: 40, electrons: 1600 },
  { readNoiseElectrons: 3, snr: 10, electrons: 108.31 },
  { readNoiseElectrons: 3, snr: 40, electrons: 1608.95 },
]) {
  void t.test(`D-ADC-11 electrons for a ratio of ${snr}, R = ${readNoiseElectrons} (ISO 12232 levels)`, (t) => {
    const of = (count: number) =>
      noiseBudget(
        count,
        subNoiseTerms({
          rates: {
            targetElectronsPerPixelSecond: count,
            skyElectronsPerPixelSecond: 0,
            darkElectronsPerPixelSecond: 0,
          },
          readout: { readNoiseElectrons, quantizationElectrons2: 0 },
          subSeconds: 1,
        }),
      ).snr
    const found = findRoot((count) => of(count) - snr, 1, 1e6)
    near(t, found, electrons, 5e-6, 'electrons')
    const closed = (snr ** 2 + Math.sqrt(snr ** 4 + 4 * snr ** 2 * readNoiseElectrons ** 2)) / 2
    near(t, found, closed, 1e-11, 'closed form')
    t.end()
  })
}

const snrOf = (given: Parameters<typeof subNoiseTerms>[0]) =>
  noiseBudget(given.rates.targetElectronsPerPixelSecond * given.subSeconds, subNoiseTerms(given)).snr

void t.test('photon noise alone gives the square root of the electrons', (t) => {
  const only = { skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
  const none = { readNoiseElectrons: 0, quantizationElectrons2: 0 }
  holds(
    fc.property(fc.integer({ min: 1, max: 1e7 }), (root) => {
      const given = { rates: { ...only, targetElectronsPerPixelSecond: root ** 2 }, readout: none, subSeconds: 1 }
      return snrOf(given) === root
    }),
    { seed: 204, numRuns: 200 },
  )
  t.pass('exactly')
  t.end()
})

void t.test('brighter sky, more dark current and more read noise never raise the ratio', (t) => {
  holds(
    fc.property(rates, readout, logUniform(0.001, 86400), logUniform(1.0001, 1e4), (r, read, subSeconds, more) => {
      const given = { rates: r, readout: read, subSeconds }
      const base = snrOf(given) * (1 + 1e-15)
      const sky = { ...r, skyElectronsPerPixelSecond: r.skyElectronsPerPixelSecond * more }
      const dark = { ...r, darkElectronsPerPixelSecond: r.darkElectronsPerPixelSecond * more }
      const noisier = { ...read, readNoiseElectrons: read.readNoiseElectrons * more }
      return (
        snrOf({ ...given, rates: sky }) <= base &&
        snrOf({ ...given, rates: dark }) <= base &&
        snrOf({ ...given, readout: noisier }) <= base
      )
    }),
    { seed: 205, numRuns: 300 },
  )
  t.pass('never')
  t.end()
})

void t.test('a thousandth of the light in a thousand times the time is the same', (t) => {
  holds(
    fc.property(
      rates,
      readout,
      logUniform(0.001, 86400),
      fc.integer({ min: 1, max: 20 }),
      (r, read, subSeconds, power) => {
        const k = 2 ** power
        const dimmer = {
          targetElectronsPerPixelSecond: r.targetElectronsPerPixelSecond / k,
          skyElectronsPerPixelSecond: r.skyElectronsPerPixelSecond / k,
          darkElectronsPerPixelSecond: r.darkElectronsPerPixelSecond / k,
        }
        const longer = { rates: dimmer, readout: read, subSeconds: subSeconds * k }
        return snrOf(longer) === snrOf({ rates: r, readout: read, subSeconds })
      },
    ),
    { seed: 206, numRuns: 300 },
  )
  t.pass('to the last bit for powers of two')
  t.end()
})

void t.test('every figure is finite, whatever comes', (t) => {
  holds(
    fc.property(extremeRates, extremeReadout, logUniform(0.001, 86400), (r, read, subSeconds) => {
      const terms = subNoiseTerms({ rates: r, readout: read, subSeconds })
      const budget = noiseBudget(r.targetElectronsPerPixelSecond * subSeconds, terms)
      const shared = totalVariance(budget.shares)
      return isFinite(budget) && (shared === 0 || Math.abs(shared - 1) < 1e-12)
    }),
    { seed: 207, numRuns: 1000 },
  )
  t.pass('finite')
  t.end()
})
