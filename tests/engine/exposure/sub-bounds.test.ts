import t from 'tap'
import fc from 'fast-check'
import {
  BACKGROUND_SHARE_OF_WELL,
  fillSeconds,
  readNoiseExcess,
  readNoiseSeconds,
  swampFactor,
  swampSeconds,
} from '../../../src/engine/exposure/sub-bounds.ts'
import { near } from '../../support/near.ts'
import { extreme, extremeRates, extremeReadout, holds, isFinite, logUniform, rates, readout } from './arbitraries.ts'

// An old CCD behind a narrow filter under a dark sky.
const RATES = {
  targetElectronsPerPixelSecond: 0.05,
  skyElectronsPerPixelSecond: 0.02,
  darkElectronsPerPixelSecond: 0.01,
}
const READOUT = { readNoiseElectrons: 9, quantizationElectrons2: 0 }
const NO_LIGHT = { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0, darkElectronsPerPixelSecond: 0 }
const NO_READ = { readNoiseElectrons: 0, quantizationElectrons2: 0 }

void t.test('the shortest sub that drowns the read noise', (t) => {
  const swamp = { rates: RATES, readout: READOUT, readNoiseTolerance: 0.05 }
  near(t, swampSeconds(swamp) ?? NaN, 81 / (0.03 * (1.05 ** 2 - 1)), 1e-14, 'R²/((S + D)((1 + q)² − 1))')
  near(t, swampSeconds(swamp) ?? NaN, 26341.4634146341463, 1e-12, 'seconds: over seven hours')
  const coarse = { ...READOUT, quantizationElectrons2: 40.5 }
  near(
    t,
    swampSeconds({ ...swamp, readout: coarse }) ?? NaN,
    39512.1951219512195,
    1e-12,
    'rounding to whole ADU counts',
  )
  t.end()
})

void t.test('5 % is a factor of 9.76 where dark current is negligible (closed form)', (t) => {
  const dark = { ...RATES, darkElectronsPerPixelSecond: 0 }
  const subSeconds = swampSeconds({ rates: dark, readout: READOUT, readNoiseTolerance: 0.05 }) ?? NaN
  near(t, swampFactor({ rates: dark, readout: READOUT, subSeconds }) ?? NaN, 9.76, 5e-4, 'swamp factor')
  near(t, swampFactor({ rates: dark, readout: READOUT, subSeconds }) ?? NaN, 1 / 0.1025, 1e-14, '1/(1.05² − 1)')
  t.end()
})

void t.test('the swamp factor is sky over read noise, without dark current', (t) => {
  near(t, swampFactor({ rates: RATES, readout: READOUT, subSeconds: 1500 }) ?? NaN, 30 / 81, 1e-15, 'S t/R²')
  const coarse = { ...READOUT, quantizationElectrons2: 40.5 }
  near(t, swampFactor({ rates: RATES, readout: coarse, subSeconds: 1500 }) ?? NaN, 30 / 121.5, 1e-15, 'with rounding')
  t.equal(swampFactor({ rates: NO_LIGHT, readout: READOUT, subSeconds: 1500 }), 0, 'no sky')
  t.end()
})

void t.test('the excess is what read noise adds to the noise of sky and dark current', (t) => {
  const given = { rates: RATES, readout: READOUT, subSeconds: 1500 }
  near(t, readNoiseExcess(given) ?? NaN, Math.sqrt(1 + 81 / 45) - 1, 1e-15, '√(1 + R²/((S + D) t)) − 1')
  near(t, readNoiseExcess(given) ?? NaN, 0.673320053068151096, 1e-14, 'two thirds')
  const coarse = { ...READOUT, quantizationElectrons2: 54 }
  near(t, readNoiseExcess({ ...given, readout: coarse }) ?? NaN, 1, 1e-15, 'with rounding')
  t.equal(readNoiseExcess({ ...given, readout: NO_READ }), 0, 'none')
  t.end()
})

void t.test('time to fill a well', (t) => {
  t.equal(fillSeconds(50000, 200), 250)
  t.equal(fillSeconds(BACKGROUND_SHARE_OF_WELL * 50000, 200), 125, 'half of it for the stars')
  t.equal(fillSeconds(0, 200), 0, 'there is no well')
  t.end()
})

void t.test('read noise as seconds of dead time, against all electrons that arrive', (t) => {
  near(t, readNoiseSeconds({ rates: RATES, readout: READOUT }), 1012.5, 1e-14, 'R²/(O + S + D)')
  const coarse = { ...READOUT, quantizationElectrons2: 39 }
  near(t, readNoiseSeconds({ rates: RATES, readout: coarse }), 1500, 1e-14, 'with rounding')
  t.equal(readNoiseSeconds({ rates: RATES, readout: NO_READ }), 0)
  t.equal(readNoiseSeconds({ rates: NO_LIGHT, readout: NO_READ }), 0)
  t.equal(readNoiseSeconds({ rates: NO_LIGHT, readout: READOUT }), 1e12, 'nothing drowns it')
  t.end()
})

void t.test('what has no bound is null: nothing arrives, or so little that the quotient overflows', (t) => {
  for (const least of [0, Number.MIN_VALUE]) {
    const dim = { ...NO_LIGHT, skyElectronsPerPixelSecond: least }
    t.equal(swampSeconds({ rates: dim, readout: READOUT, readNoiseTolerance: 0.05 }), null)
    t.equal(readNoiseExcess({ rates: dim, readout: READOUT, subSeconds: 1 }), null)
    t.equal(fillSeconds(50000, least), null)
    const quiet = { readNoiseElectrons: 0, quantizationElectrons2: least }
    t.equal(swampFactor({ rates: RATES, readout: quiet, subSeconds: 1500 }), null)
  }
  t.equal(fillSeconds(0, 0), null)
  t.end()
})

void t.test('a tolerance turned into a length gives that tolerance back', (t) => {
  holds(
    fc.property(rates, readout, logUniform(0.001, 10), (r, read, readNoiseTolerance) => {
      const subSeconds = swampSeconds({ rates: r, readout: read, readNoiseTolerance })
      if (subSeconds === null) return r.skyElectronsPerPixelSecond + r.darkElectronsPerPixelSecond === 0
      if (subSeconds === 0) return read.readNoiseElectrons + read.quantizationElectrons2 === 0
      const excess = readNoiseExcess({ rates: r, readout: read, subSeconds }) ?? NaN
      return Math.abs(excess - readNoiseTolerance) < 1e-12 * (1 + readNoiseTolerance)
    }),
    { seed: 216, numRuns: 500 },
  )
  t.pass('to 1e-12')
  t.end()
})

void t.test('every figure is finite or null, whatever comes', (t) => {
  holds(
    fc.property(extremeRates, extremeReadout, logUniform(0.001, 86400), extreme(1e9), (r, read, subSeconds, well) => {
      const given = { rates: r, readout: read, subSeconds, readNoiseTolerance: 0.001 }
      const filled = fillSeconds(well, r.skyElectronsPerPixelSecond)
      const found = [swampSeconds(given), swampFactor(given), readNoiseExcess(given), readNoiseSeconds(given), filled]
      return found.every((it) => it === null || (isFinite(it) && it >= 0))
    }),
    { seed: 217, numRuns: 2000 },
  )
  t.pass('finite')
  t.end()
})
