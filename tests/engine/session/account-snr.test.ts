import t from 'tap'
import {
  AccountSubs,
  bestWeights,
  efficiency,
  EqualStack,
  independentSnr,
  masterDarkVariance,
  stackBudget,
  stackOf,
  stackSnr,
  starStackBudget,
  subTerms,
  termsWithout,
  type AccountModel,
  type AccountSub,
  type StarInput,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { covariance, product, scatter, solved } from './covariance.ts'
import { pixelModel, REFERENCE, subsOfChance } from './models.ts'

const rates = {
  targetElectronsPerPixelSecond: 0.04,
  skyElectronsPerPixelSecond: 0.3,
  darkElectronsPerPixelSecond: 0.01,
}

const alike = (count: number, sub: Partial<AccountSub> = {}) =>
  AccountSubs.of(...Array.from({ length: count }, () => ({ ...REFERENCE, ...sub })))

const snrOf = (subs: AccountSubs, model: AccountModel) => stackSnr(stackOf(subTerms(subs, model), model), model)
const equalSnrOf = (subs: AccountSubs, model: AccountModel) =>
  Math.sqrt(EqualStack.of(subTerms(subs, model), model).information)

const CALIBRATIONS = [
  {},
  { darkFrames: 4 },
  { darkFrames: 4, flatFrames: 5, flatElectrons: 900 },
  { flatFrames: 1, flatElectrons: 300, ditherPositions: 4 },
  { darkFrames: 4, flatFrames: 5, flatElectrons: 900, ditherPositions: 7 },
  { darkFrames: 4, flatFrames: 5, flatElectrons: 900, ditherPositions: 100 },
]

void t.test('the ratio and the weights are those that solving the whole covariance gives', (t) => {
  for (const [index, calibration] of CALIBRATIONS.entries()) {
    const masters = calibration.darkFrames === undefined ? [0, 0, 0] : [2, 70, 9]
    for (const given of [{}, { effectivePixels: 9, concentration: 0.3, underlyingElectronsPerPixelSecond: 0.05 }]) {
      const model = pixelModel({ calibration, masters, signalElectronsPerSecond: 0.9, efficiency: 1, ...given })
      const terms = subTerms(subsOfChance(10 + index, 17, 3), model)
      const stack = stackOf(terms, model)
      const matrix = covariance(terms, model)
      const weights = solved(matrix, terms.signals)
      const name = `${JSON.stringify(calibration)}, ${model.effectivePixels} pixels`
      near(t, stackSnr(stack, model), Math.sqrt(product(weights, terms.signals)), 1e-9, name)
      const told = bestWeights(terms, stack, model)
      near(t, product(told, terms.signals) / Math.sqrt(scatter(matrix, told)), stackSnr(stack, model), 1e-9, 'reached')
      const factor = (told[0] ?? NaN) / (weights[0] ?? NaN)
      weights.forEach((weight, sub) => t.ok(Math.abs((told[sub] ?? NaN) / (factor * weight) - 1) < 1e-7, 'each weight'))
    }
  }
  t.end()
})

void t.test('hazy subs that share a master dark with clear ones tell its error: an optimum known beforehand', (t) => {
  const model = pixelModel({
    signalElectronsPerSecond: 0.02,
    readout: { readNoiseElectrons: 2, quantizationElectrons2: 0 },
    calibration: { darkFrames: 10 },
    masters: [(0.01 * 300 + 4) / 10],
  })
  const sub = { ...REFERENCE, subSeconds: 300, skyElectronsPerPixelSecond: 0.1 }
  const clear = Array<AccountSub>(40).fill(sub)
  const subs = AccountSubs.of(...clear, ...Array<AccountSub>(40).fill({ ...sub, transparency: 0.3 }))
  // By numpy.linalg.solve of the covariance written out.
  near(t, snrOf(subs, model), 4.528981144042427, 1e-12, 'the optimum')
  const terms = subTerms(subs, model)
  t.ok((bestWeights(terms, stackOf(terms, model), model)[79] ?? NaN) < 0, 'a weight below zero')
  t.end()
})

void t.test('no sub can be dropped with a gain, whatever is shared', (t) => {
  for (const [index, calibration] of CALIBRATIONS.entries()) {
    const model = pixelModel({ calibration, masters: [2, 70], signalElectronsPerSecond: 0.9 })
    const terms = subTerms(subsOfChance(40 + index, 14, 2), model)
    const all = stackSnr(stackOf(terms, model), model)
    t.ok(all >= Math.sqrt(EqualStack.of(terms, model).information) * (1 - 1e-12), 'nor is equal weighting better')
    for (let sub = 0; sub < 14; sub++) {
      const kept = stackOf(termsWithout(terms, [sub]), model)
      t.ok(stackSnr(kept, model) <= all * (1 + 1e-12), `${JSON.stringify(calibration)} without ${sub}`)
    }
  }
  t.end()
})

void t.test('subs without light use up no pointing', (t) => {
  const model = pixelModel({ calibration: { darkFrames: 4, ditherPositions: 10 }, masters: [5] })
  const lit = Array<AccountSub>(10).fill(REFERENCE)
  const blank = Array<AccountSub>(10).fill({ ...REFERENCE, transparency: 0 })
  const withBlank = AccountSubs.of(...lit, ...blank)
  near(t, snrOf(withBlank, model), snrOf(AccountSubs.of(...lit), model), 1e-12, 'ten with a pointing each')
  const terms = subTerms(withBlank, model)
  t.equal(bestWeights(terms, stackOf(terms, model), model)[15], 0)
  t.end()
})

void t.test('subs alike are the stack of the exposure engine, weighted or not, whatever calibration does', (t) => {
  for (const calibration of [
    ...CALIBRATIONS,
    { biasFrames: 7, flatFrames: 5, flatElectrons: 900, ditherPositions: 50 },
  ]) {
    const readout = { readNoiseElectrons: 1.6, quantizationElectrons2: 0.1 }
    for (const combine of ['mean', 'median', 'clipped-mean'] as const) {
      const input = { rates, readout, subSeconds: 120, calibration }
      const kept = efficiency({ combine, count: 40 })
      const model = pixelModel({ readout, calibration, masters: [masterDarkVariance(input)], efficiency: kept })
      const { snr } = stackBudget({ ...input, subCount: 40, combine })
      near(t, snrOf(alike(40), model), snr, 1e-12, `weighted ${combine}, ${JSON.stringify(calibration)}`)
      near(t, equalSnrOf(alike(40), model), snr, 1e-12, `equal ${combine}, ${JSON.stringify(calibration)}`)
    }
  }
  t.end()
})

void t.test('a star in its aperture is the star of the exposure engine', (t) => {
  const calibration = { darkFrames: 3, flatFrames: 4, flatElectrons: 5000, ditherPositions: 2 }
  const star: StarInput = {
    starElectronsPerSecond: 8,
    capturedFraction: 0.7,
    aperturePixels: 20,
    backgroundPixels: 200,
    squaredShares: 0.06,
    rates,
    readout: { readNoiseElectrons: 2, quantizationElectrons2: 0 },
    subSeconds: 120,
    calibration,
  }
  const model: AccountModel = {
    signalElectronsPerSecond: 8,
    underlyingElectronsPerPixelSecond: rates.targetElectronsPerPixelSecond,
    effectivePixels: 20 * 1.1,
    concentration: 0.06 / 0.7 ** 2,
    readout: star.readout,
    calibration,
    masters: [masterDarkVariance(star)],
    efficiency: 1,
  }
  const expected = starStackBudget({ ...star, subCount: 10, combine: 'mean' }).snr
  near(t, snrOf(alike(10, { capturedFraction: 0.7 }), model), expected, 1e-12, 'the star')
  near(t, equalSnrOf(alike(10, { capturedFraction: 0.7 }), model), expected, 1e-12, 'added up')
  t.end()
})

void t.test('nothing, and subs without light, have no signal', (t) => {
  const model = pixelModel({ readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 } })
  const dark = { ...REFERENCE, transparency: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
  for (const subs of [new AccountSubs(0), AccountSubs.of(dark)]) {
    const terms = subTerms(subs, model)
    const stack = stackOf(terms, model)
    t.equal(stackSnr(stack, model), 0)
    t.equal(independentSnr(stack, model), 0)
    t.same([...bestWeights(terms, stack, model)], Array<number>(subs.count).fill(0))
  }
  t.end()
})
