import t from 'tap'
import {
  AccountSubs,
  ceilingSnr,
  efficiency,
  independentSnr,
  masterDarkVariance,
  repeatedStack,
  stackBudget,
  stackCalibrationVariance,
  stackCeilingSnr,
  stackSnr,
  stackSums,
  starCeilingSnr,
  starStackBudget,
  subWeight,
  subYield,
  subYields,
  type AccountModel,
  type AccountSub,
  type StarInput,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE, subsOfChance } from './models.ts'

const rates = {
  targetElectronsPerPixelSecond: 0.04,
  skyElectronsPerPixelSecond: 0.3,
  darkElectronsPerPixelSecond: 0.01,
}

void t.test('subs alike are the stack of the exposure engine, weighted or not, whatever calibration does', (t) => {
  for (const calibration of [
    {},
    { darkFrames: 4 },
    { darkFrames: 4, flatFrames: 5, flatElectrons: 9000, ditherPositions: 3 },
    { biasFrames: 7, flatFrames: 5, flatElectrons: 900, ditherPositions: 50 },
  ]) {
    const readout = { readNoiseElectrons: 1.6, quantizationElectrons2: 0.1 }
    const input = { rates, readout, subSeconds: 120, calibration }
    const model = pixelModel({ readout, calibration, masters: [masterDarkVariance(input)] })
    const subs = AccountSubs.of(...Array.from({ length: 12 }, () => REFERENCE))
    const { snr } = stackBudget({ ...input, subCount: 12, combine: 'mean' })
    for (const weighing of ['equal', 'inverse-variance'] as const) {
      const sums = stackSums(subs, model, weighing)
      near(t, stackSnr(sums, model), snr, 1e-12, `${weighing}, ${JSON.stringify(calibration)}`)
      const ceiling = ceilingSnr(input)
      if (ceiling === null) t.equal(stackCeilingSnr(sums, model), null)
      else near(t, stackCeilingSnr(sums, model) ?? 0, ceiling, 1e-12, 'the ceiling')
    }
  }
  t.end()
})

void t.test('a median, or a clipped mean, of subs alike is that of the exposure engine', (t) => {
  const readout = { readNoiseElectrons: 1.6, quantizationElectrons2: 0.1 }
  for (const combine of ['median', 'clipped-mean'] as const) {
    for (const ditherPositions of [1, 4, 40]) {
      const calibration = { darkFrames: 4, flatFrames: 5, flatElectrons: 9000, ditherPositions }
      const input = { rates, readout, subSeconds: 120, calibration }
      const kept = efficiency({ combine, count: 40 })
      const model = pixelModel({ readout, calibration, masters: [masterDarkVariance(input)], efficiency: kept })
      const sums = stackSums(AccountSubs.of(...Array<AccountSub>(40).fill(REFERENCE)), model, 'inverse-variance')
      const { snr } = stackBudget({ ...input, subCount: 40, combine })
      near(t, stackSnr(sums, model), snr, 1e-12, `${combine}, ${ditherPositions} positions`)
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
    squaredShares: 0.06,
    readout: star.readout,
    calibration,
    masters: [masterDarkVariance(star)],
    efficiency: 1,
  }
  const subs = AccountSubs.of(...Array.from({ length: 10 }, () => ({ ...REFERENCE, capturedFraction: 0.7 })))
  const sums = stackSums(subs, model, 'inverse-variance')
  const expected = starStackBudget({ ...star, subCount: 10, combine: 'mean' })
  near(t, stackSnr(sums, model), expected.snr, 1e-12, 'the star')
  near(t, stackCeilingSnr(sums, model) ?? 0, starCeilingSnr(star) ?? NaN, 1e-12, 'its ceiling')
  t.end()
})

void t.test('without dither no weights average away what two lengths of darks leave', (t) => {
  const subs = subsOfChance(4, 30, 2)
  const model = pixelModel({ calibration: { darkFrames: 4 }, masters: [2, 7] })
  const sums = stackSums(subs, model, 'inverse-variance')
  const [one = NaN, other = NaN] = sums.byMaster
  near(t, stackCalibrationVariance(sums, model), 2 * one ** 2 + 7 * other ** 2, 1e-12, 'amplitudes of each length')
  const many = repeatedStack(sums, 1e9)
  near(t, stackSnr(many, model), stackCeilingSnr(sums, model) ?? NaN, 1e-6, 'the ceiling is where it ends')
  t.ok(stackSnr(sums, model) < independentSnr(sums))
  t.end()
})

void t.test('nothing, and subs without light, have no signal', (t) => {
  const model = pixelModel({ readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 } })
  const dark = { ...REFERENCE, transparency: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
  for (const subs of [new AccountSubs(0), AccountSubs.of(dark)]) {
    const sums = stackSums(subs, model, 'inverse-variance')
    t.equal(stackSnr(sums, model), 0)
    t.equal(independentSnr(sums), 0)
    t.equal(stackCeilingSnr(sums, pixelModel({ masters: [1] })), null)
  }
  t.equal(subWeight(subYield(dark, model)), 0)
  t.same([...subYields(AccountSubs.of(dark), model).weights], [0])
  t.end()
})
