import t from 'tap'
import {
  correctedSpatialVariance,
  darkNonUniformityElectrons,
  photoResponseNonUniformityShare,
  spatialVarianceUncertainty,
} from '../../../src/engine/detector/photon-transfer-uniformity.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('D-PTC-17 DSNU and PRNU, eqs. 36, 66, 67 (EMVA 1288 R4.0, computed)', (t) => {
  const dark = correctedSpatialVariance({ measuredAdu2: 1.3, temporalVarianceAdu2: 9.6, frameCount: 16 })
  const bright = correctedSpatialVariance({ measuredAdu2: 142, temporalVarianceAdu2: 310, frameCount: 16 })
  within(t, dark, 0.7, 1e-12, 'dark')
  within(t, bright, 122.625, 1e-12, 'bright')
  const dsnu = darkNonUniformityElectrons({ darkSpatialVarianceAdu2: dark, electronsPerAdu: 4 })
  within(t, Number(dsnu), 3.34664, 5e-6, 'DSNU')
  const prnu = photoResponseNonUniformityShare({
    spatialVarianceAdu2: bright,
    darkSpatialVarianceAdu2: dark,
    signalAdu: 2050,
  })
  within(t, Number(prnu), 0.00538632, 5e-9, 'PRNU')
  t.end()
})

void t.test('D-PTC-18 without the temporal correction DSNU comes out 36.3 % high (computed)', (t) => {
  const raw = Number(darkNonUniformityElectrons({ darkSpatialVarianceAdu2: 1.3, electronsPerAdu: 4 }))
  within(t, raw, 4.5607, 5e-6, 'DSNU')
  within(t, raw / 3.34664 - 1, 0.363, 5e-4, 'too high')
  t.end()
})

void t.test('a negative variance is undefined, zero is zero', (t) => {
  t.equal(darkNonUniformityElectrons({ darkSpatialVarianceAdu2: -0.1, electronsPerAdu: 4 }), null)
  t.equal(darkNonUniformityElectrons({ darkSpatialVarianceAdu2: 0, electronsPerAdu: 4 }), 0)
  const prnu = (spatialVarianceAdu2: number) =>
    photoResponseNonUniformityShare({ spatialVarianceAdu2, darkSpatialVarianceAdu2: 1, signalAdu: 100 })
  t.equal(prnu(0.9), null)
  t.equal(prnu(1), 0)
  t.equal(prnu(5), 0.02)
  t.end()
})

void t.test('uncertainty of a covariance: √((s² + σ²)² + s⁴)/√N', (t) => {
  const at = (spatialVarianceAdu2: number) =>
    spatialVarianceUncertainty({ spatialVarianceAdu2, temporalVarianceAdu2: 1, pixelCount: 400 })
  near(t, at(3), Math.hypot(4, 3) / 20, 1e-14, 's² 3, σ² 1')
  near(t, at(0), 1 / 20, 1e-14, 'no pattern')
  t.equal(at(-2), at(0), 'a negative one counts as none')
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const one = { measuredAdu2: 1, temporalVarianceAdu2: 1, frameCount: 1 }
  refuses(t, () => correctedSpatialVariance({ ...one, measuredAdu2: -1 }), 'out-of-range', 'measured')
  refuses(t, () => correctedSpatialVariance({ ...one, temporalVarianceAdu2: -1 }), 'out-of-range', 'temporal')
  refuses(t, () => correctedSpatialVariance({ ...one, frameCount: 0 }), 'out-of-range', 'frames')
  const dark = { darkSpatialVarianceAdu2: 1, electronsPerAdu: 1 }
  refuses(t, () => darkNonUniformityElectrons({ ...dark, darkSpatialVarianceAdu2: NaN }), 'out-of-range', 'variance')
  refuses(t, () => darkNonUniformityElectrons({ ...dark, electronsPerAdu: 0 }), 'out-of-range', 'gain')
  const light = { spatialVarianceAdu2: 1, darkSpatialVarianceAdu2: 1, signalAdu: 1 }
  refuses(t, () => photoResponseNonUniformityShare({ ...light, spatialVarianceAdu2: NaN }), 'out-of-range', 'bright')
  refuses(t, () => photoResponseNonUniformityShare({ ...light, darkSpatialVarianceAdu2: NaN }), 'out-of-range', 'dark')
  refuses(t, () => photoResponseNonUniformityShare({ ...light, signalAdu: 0 }), 'out-of-range', 'signal')
  t.end()
})
