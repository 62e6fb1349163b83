import t from 'tap'
import fc from 'fast-check'
import {
  calibrationRepeats,
  calibrationVariance,
  masterDarkVariance,
  masterFlatRelativeVariance,
} from '../../../src/engine/exposure/calibration-noise.ts'
import { subNoiseTerms, totalVariance } from '../../../src/engine/exposure/noise.ts'
import { near } from '../../support/near.ts'
import {
  calibration,
  extremeRates,
  extremeReadout,
  holds,
  isFinite,
  logUniform,
  rates,
  readout,
} from './arbitraries.ts'

const SUB = {
  rates: { targetElectronsPerPixelSecond: 0.5, skyElectronsPerPixelSecond: 2, darkElectronsPerPixelSecond: 0.1 },
  readout: { readNoiseElectrons: 3, quantizationElectrons2: 0.75 },
  subSeconds: 60,
}

void t.test('a master dark carries dark current and read noise of its frames', (t) => {
  t.equal(masterDarkVariance({ ...SUB, calibration: { darkFrames: 1 } }), 15.75)
  t.equal(masterDarkVariance({ ...SUB, calibration: { darkFrames: 21 } }), 0.75)
  t.end()
})

void t.test('without darks the master bias carries read noise alone; darks hold the bias already', (t) => {
  t.equal(masterDarkVariance({ ...SUB, calibration: { biasFrames: 3 } }), 3.25)
  t.equal(masterDarkVariance({ ...SUB, calibration: { biasFrames: 3, darkFrames: 21 } }), 0.75)
  t.equal(masterDarkVariance({ ...SUB, calibration: {} }), 0)
  t.end()
})

void t.test('a master flat has the Poisson noise of all its electrons', (t) => {
  t.equal(masterFlatRelativeVariance({ flatFrames: 16, flatElectrons: 25000 }), 2.5e-6)
  t.equal(masterFlatRelativeVariance({ flatFrames: 16 }), 0)
  t.equal(masterFlatRelativeVariance({ flatElectrons: 25000 }), 0)
  t.end()
})

void t.test('the flat divides target and sky, not the dark current that was subtracted', (t) => {
  // (0.5 + 2) 60 = 150 electrons; 150² · 2.5e-6 = 0.05625.
  const flat = { flatFrames: 16, flatElectrons: 25000 }
  near(t, calibrationVariance({ ...SUB, calibration: flat }), 0.05625, 1e-14, 'flat alone')
  near(t, calibrationVariance({ ...SUB, calibration: { ...flat, darkFrames: 21 } }), 0.80625, 1e-14, 'both')
  t.equal(calibrationVariance({ ...SUB, calibration: {} }), 0, 'neither')
  t.end()
})

void t.test('an error that all subs share adds as an amplitude; dither makes it add in variance', (t) => {
  t.equal(calibrationRepeats(12, {}), 144)
  t.equal(calibrationRepeats(12, { ditherPositions: 1 }), 144)
  t.equal(calibrationRepeats(12, { ditherPositions: 3 }), 48)
  t.equal(calibrationRepeats(12, { ditherPositions: 12 }), 12)
  t.equal(calibrationRepeats(12, { ditherPositions: 500 }), 12, 'no more pointings than subs')
  t.end()
})

void t.test('D-EST-01 a median weighs errors that subs do not share (Kenney & Keeping 1962)', (t) => {
  near(t, calibrationRepeats(3, { ditherPositions: 3 }, 'median'), 3 / 0.742935, 1e-6, 'a pointing for each of three')
  near(t, calibrationRepeats(3, { ditherPositions: 99 }, 'median'), 3 / 0.742935, 1e-6, 'and more')
  t.equal(calibrationRepeats(3, { ditherPositions: 2 }, 'median'), 4.5, 'not those that subs share')
  t.equal(calibrationRepeats(3, {}, 'median'), 9)
  t.equal(calibrationRepeats(1, {}, 'median'), 1, 'a stack of one')
  t.end()
})

for (const { frames, expected } of [
  { frames: 1, expected: 1.41421 },
  { frames: 4, expected: 1.11803 },
  { frames: 16, expected: 1.03078 },
  { frames: 50, expected: 1.00995 },
]) {
  void t.test(`D-EST-17 subtracting a master of ${frames} frames with the noise of the light (computed)`, (t) => {
    const still = {
      rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0.1 },
      readout: { readNoiseElectrons: 3, quantizationElectrons2: 0 },
      subSeconds: 60,
    }
    const light = totalVariance(subNoiseTerms(still))
    const master = masterDarkVariance({ ...still, calibration: { darkFrames: frames } })
    near(t, Math.sqrt((light + master) / light), expected, 4e-6, 'noise factor')
    near(t, Math.sqrt((light + master) / light), Math.sqrt(1 + 1 / frames), 1e-15, 'closed form')
    t.end()
  })
}

void t.test('D-EST-18 noise of a dark-subtracted pixel (computed)', (t) => {
  const pixel = {
    rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 40, darkElectronsPerPixelSecond: 6 },
    readout: { readNoiseElectrons: 1.5, quantizationElectrons2: 0 },
    subSeconds: 1,
  }
  const light = totalVariance(subNoiseTerms(pixel))
  near(t, Math.sqrt(light), 6.94622, 1e-6, 'without subtraction')
  near(
    t,
    Math.sqrt(light + masterDarkVariance({ ...pixel, calibration: { darkFrames: 20 } })),
    6.97585,
    1e-6,
    '20 darks',
  )
  t.end()
})

void t.test('more frames never add noise, and k times the frames leave 1/k of it', (t) => {
  holds(
    fc.property(
      rates,
      readout,
      logUniform(0.001, 86400),
      fc.integer({ min: 1, max: 1000 }),
      (r, read, subSeconds, k) => {
        const variance = (frames: number) =>
          calibrationVariance({
            rates: r,
            readout: read,
            subSeconds,
            calibration: { darkFrames: frames, flatFrames: frames, flatElectrons: 20000 },
          })
        return Math.abs(variance(k) * k - variance(1)) <= 1e-14 * variance(1) && variance(k) <= variance(1)
      },
    ),
    { seed: 208, numRuns: 300 },
  )
  t.pass('one over k')
  t.end()
})

void t.test('dither lies between one shared error and as many as there are subs', (t) => {
  holds(
    fc.property(fc.integer({ min: 1, max: 1e9 }), calibration, (subCount, it) => {
      const repeats = calibrationRepeats(subCount, it)
      return repeats >= subCount && repeats <= subCount ** 2
    }),
    { seed: 209, numRuns: 300 },
  )
  t.pass('N to N²')
  t.end()
})

void t.test('every figure is finite, whatever comes', (t) => {
  holds(
    fc.property(extremeRates, extremeReadout, logUniform(0.001, 86400), calibration, (r, read, subSeconds, it) =>
      isFinite(calibrationVariance({ rates: r, readout: read, subSeconds, calibration: it })),
    ),
    { seed: 210, numRuns: 500 },
  )
  t.pass('finite')
  t.end()
})
