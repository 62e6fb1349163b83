import t from 'tap'
import {
  AccountSubs,
  ceilingSnr,
  EqualStack,
  masterDarkVariance,
  starCeilingSnr,
  subTerms,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { covariance, product, scatter } from './covariance.ts'
import { pixelModel, REFERENCE, subsOfChance } from './models.ts'

const CALIBRATION = { darkFrames: 4, flatFrames: 5, flatElectrons: 900 }

void t.test('the sum as it is, by the covariance written out', (t) => {
  for (const ditherPositions of [1, 3, 6, 20]) {
    const model = pixelModel({ calibration: { ...CALIBRATION, ditherPositions }, masters: [2, 70] })
    const terms = subTerms(subsOfChance(21, 12, 2), model)
    const alike = terms.signals.map(() => 1)
    const expected = product(alike, terms.signals) ** 2 / scatter(covariance(terms, model, false), alike)
    near(t, EqualStack.of(terms, model).information, expected, 1e-9, `${ditherPositions} positions`)
  }
  t.end()
})

void t.test('what was put in and taken out again leaves the rest', (t) => {
  const model = pixelModel({ calibration: { ...CALIBRATION, ditherPositions: 3 }, masters: [2, 70] })
  const terms = subTerms(subsOfChance(22, 9, 2), model)
  const stack = EqualStack.of(terms, model)
  const { information } = stack
  stack.move(4, -1)
  t.not(stack.information, information)
  stack.move(4, 1)
  near(t, stack.information, information, 1e-12, 'as before')
  for (let index = 0; index < 9; index++) stack.move(index, -1)
  t.equal(stack.information, 0, 'empty')
  t.end()
})

void t.test('a move that is only asked about is worth what it is worth once made, and leaves the stack', (t) => {
  const model = pixelModel({ calibration: { ...CALIBRATION, ditherPositions: 3 }, masters: [2, 70] })
  const terms = subTerms(subsOfChance(22, 9, 2), model)
  const stack = EqualStack.of(terms, model)
  stack.move(0, -1)
  const { information } = stack
  for (const [index, by] of [
    [0, 1],
    [4, -1],
    [8, -1],
  ] as const) {
    const asked = stack.informationWith(index, by)
    near(t, stack.information, information, 1e-12, 'left as it was')
    stack.move(index, by)
    t.equal(stack.information, asked)
    stack.move(index, by === 1 ? -1 : 1)
    near(t, stack.information, information, 1e-12, 'as before')
    t.not(asked, information)
  }
  t.end()
})

void t.test('the ceiling is that of the exposure engine, and null where there is none', (t) => {
  const rates = {
    targetElectronsPerPixelSecond: 0.04,
    skyElectronsPerPixelSecond: 0.3,
    darkElectronsPerPixelSecond: 0.01,
  }
  const readout = { readNoiseElectrons: 1.6, quantizationElectrons2: 0.1 }
  const subs = AccountSubs.of(REFERENCE, REFERENCE, REFERENCE)
  for (const calibration of [CALIBRATION, { ...CALIBRATION, ditherPositions: 5 }, { biasFrames: 8 }]) {
    const input = { rates, readout, subSeconds: 120, calibration }
    const model = pixelModel({ readout, calibration, masters: [masterDarkVariance(input)] })
    near(t, EqualStack.of(subTerms(subs, model), model).ceilingSnr ?? 0, ceilingSnr(input) ?? NaN, 1e-12, 'a pixel')
  }
  t.equal(EqualStack.of(subTerms(subs, pixelModel()), pixelModel()).ceilingSnr, null, 'no error of calibration')
  const noisy = pixelModel({ calibration: CALIBRATION, masters: [2] })
  const blank = AccountSubs.of({ ...REFERENCE, transparency: 0 })
  const unlit = EqualStack.of(subTerms(blank, noisy), noisy)
  t.equal(unlit.ceilingSnr, null, 'no signal')
  t.equal(unlit.information, 0)
  t.equal(unlit.independentSnr, 0)
  const star = {
    starElectronsPerSecond: 8,
    capturedFraction: 0.7,
    aperturePixels: 20,
    backgroundPixels: 200,
    squaredShares: 0.06,
    rates,
    readout,
    subSeconds: 120,
    calibration: CALIBRATION,
  }
  const model = pixelModel({
    signalElectronsPerSecond: 8,
    underlyingElectronsPerPixelSecond: 0.04,
    effectivePixels: 22,
    concentration: 0.06 / 0.49,
    readout,
    calibration: CALIBRATION,
    masters: [masterDarkVariance(star)],
  })
  const one = EqualStack.of(subTerms(AccountSubs.of({ ...REFERENCE, capturedFraction: 0.7 }), model), model)
  near(t, one.ceilingSnr ?? 0, starCeilingSnr(star) ?? NaN, 1e-12, 'a star')
  t.end()
})

void t.test('without calibration a sum is its signal over its noise', (t) => {
  const model = pixelModel({ calibration: CALIBRATION, masters: [2, 70], efficiency: 0.64 })
  const terms = subTerms(subsOfChance(23, 9, 2), model)
  const sum = (column: Float64Array) => column.reduce((total, value) => total + value, 0)
  const expected = (0.8 * sum(terms.signals)) / Math.sqrt(sum(terms.variances))
  near(t, EqualStack.of(terms, model).independentSnr, expected, 1e-12, 'independent')
  t.end()
})
