import t from 'tap'
import { photonTransferGain } from '../../../src/engine/detector/photon-transfer-gain.ts'
import { near, refuses, within } from '../../support/near.ts'
import { EMVA_EXAMPLE } from './photon-transfer-example.ts'
import type { PhotonTransferLevel } from '../../../src/engine/detector/photon-transfer-levels.ts'

/** K = 0.5 ADU/e⁻ exactly, a dark of 4 ADU² of its own for each level. */
function level(signal: number, change: Partial<PhotonTransferLevel> = {}): PhotonTransferLevel {
  return {
    meanAdu: 100 + signal,
    temporalVarianceAdu2: 4 + signal / 2,
    darkMeanAdu: 100,
    darkTemporalVarianceAdu2: 4,
    ...change,
  }
}

void t.test('D-PTC-09 K through the origin, nine points of real data: 0.279730 (EMVA 1288 reference data)', (t) => {
  const { throughOrigin } = photonTransferGain(EMVA_EXAMPLE)
  within(t, throughOrigin.aduPerElectron.value, 0.27973, 5e-7, 'ADU/e-')
  within(t, throughOrigin.electronsPerAdu.value, 3.5749, 5e-5, 'e-/ADU')
  t.same(throughOrigin.interceptAdu2, { value: 0, standardUncertainty: 0 })
  t.end()
})

void t.test(
  'D-PTC-10 K with a free intercept: 0.276493 and 5.9961 ADU², 1.16 % lower (EMVA 1288 reference data)',
  (t) => {
    const { throughOrigin, withIntercept } = photonTransferGain(EMVA_EXAMPLE)
    const slope = Number(withIntercept?.aduPerElectron.value)
    within(t, slope, 0.276493, 5e-7, 'ADU/e-')
    within(t, Number(withIntercept?.interceptAdu2.value), 5.9961, 5e-5, 'intercept')
    within(t, 1 - slope / throughOrigin.aduPerElectron.value, 0.0116, 5e-5, 'lower')
    t.end()
  },
)

void t.test('exact data give both lines back, and uncertainties from pixel counts in closed form', (t) => {
  const pixelCount = 5000
  // Darks told apart by their mean.
  const levels = [100, 300].map((signal, index) =>
    level(signal, { pixelCount, darkMeanAdu: 100 + index, meanAdu: 100 + index + signal }),
  )
  const gain = photonTransferGain(levels)
  t.match(gain, { uncertaintyFrom: 'pixel-counts', degreesOfFreedom: null, effectivePixelCount: 5000 })
  near(t, gain.throughOrigin.electronsPerAdu.value, 2, 1e-12, 'gain')
  // Slope Σ X Y/Σ X², variances of Y: (54² + 4²) and (154² + 4²), times 2/N.
  const slope =
    Math.sqrt((2 / pixelCount) * (100 ** 2 * (54 ** 2 + 16) + 300 ** 2 * (154 ** 2 + 16))) / (100 ** 2 + 300 ** 2)
  near(t, Number(gain.throughOrigin.aduPerElectron.standardUncertainty), slope, 1e-12, 'slope')
  near(t, Number(gain.throughOrigin.electronsPerAdu.standardUncertainty), 4 * slope, 1e-12, 'and its inverse')
  const free = Math.sqrt((2 / pixelCount) * (54 ** 2 + 16 + 154 ** 2 + 16)) / 200
  near(t, Number(gain.withIntercept?.aduPerElectron.value), 0.5, 1e-12, 'slope with intercept')
  near(t, Number(gain.withIntercept?.aduPerElectron.standardUncertainty), free, 1e-12, 'its uncertainty')
  within(t, Number(gain.withIntercept?.interceptAdu2.value), 0, 1e-10, 'intercept')
  // Intercept (3 Y₁ - Y₂)/2.
  const intercept = Math.sqrt((2 / pixelCount) * (9 * (54 ** 2 + 16) + 154 ** 2 + 16)) / 2
  near(t, Number(gain.withIntercept?.interceptAdu2.standardUncertainty), intercept, 1e-12, 'intercept')
  t.end()
})

void t.test('a dark that all levels share counts once', (t) => {
  const pixelCount = 5000
  const gain = photonTransferGain([100, 300].map((signal) => level(signal, { pixelCount })))
  const lights = 100 ** 2 * 54 ** 2 + 300 ** 2 * 154 ** 2
  const slope = Math.sqrt((2 / pixelCount) * (lights + (400 * 4) ** 2)) / (100 ** 2 + 300 ** 2)
  near(t, Number(gain.throughOrigin.aduPerElectron.standardUncertainty), slope, 1e-12, 'slope')
  t.end()
})

void t.test('without pixel counts the scatter about the line suggests how many there were', (t) => {
  const bent = [level(100, { temporalVarianceAdu2: 55 }), level(200, { temporalVarianceAdu2: 102.5 }), level(300)]
  const gain = photonTransferGain(bent)
  t.match(gain, { uncertaintyFrom: 'scatter', degreesOfFreedom: 2 })
  // A line through the origin with weights 1/(var² + 4²), chi-square over two degrees of freedom.
  const points = bent.map((one) => ({
    x: one.meanAdu - 100,
    y: one.temporalVarianceAdu2 - 4,
    weight: 1 / (one.temporalVarianceAdu2 ** 2 + 16),
  }))
  const sum = (of: (point: { x: number; y: number; weight: number }) => number) =>
    points.reduce((total, point) => total + of(point), 0)
  const slope = sum(({ x, y, weight }) => weight * x * y) / sum(({ x, weight }) => weight * x * x)
  const scatter = sum(({ x, y, weight }) => weight * (y - slope * x) ** 2) / 2
  near(t, Number(gain.effectivePixelCount), 2 / scatter, 1e-12, 'pixels')
  const given = photonTransferGain(bent.map((one) => ({ ...one, pixelCount: 2 / scatter })))
  near(
    t,
    Number(gain.throughOrigin.aduPerElectron.standardUncertainty),
    Number(given.throughOrigin.aduPerElectron.standardUncertainty),
    1e-12,
    'the same uncertainty as with that many',
  )
  const exact = photonTransferGain([100, 200, 300].map((signal) => level(signal)))
  t.equal(exact.effectivePixelCount, 1e12, 'a perfect fit claims no more than a million million')
  t.end()
})

void t.test('one level gives a gain without uncertainty, and no second line', (t) => {
  const gain = photonTransferGain([level(200)])
  t.same(gain, {
    throughOrigin: {
      aduPerElectron: { value: 0.5, standardUncertainty: null },
      electronsPerAdu: { value: 2, standardUncertainty: null },
      interceptAdu2: { value: 0, standardUncertainty: 0 },
    },
    withIntercept: null,
    uncertaintyFrom: 'nothing',
    degreesOfFreedom: null,
    effectivePixelCount: null,
  })
  t.end()
})

void t.test('a falling line with intercept is none', (t) => {
  const falling = [level(200), level(300, { temporalVarianceAdu2: 4 + 90 })]
  t.equal(photonTransferGain(falling).withIntercept, null)
  t.end()
})

void t.test('the fewest pixels stand for the ladder', (t) => {
  const gain = photonTransferGain([level(100, { pixelCount: 900 }), level(200, { pixelCount: 400 })])
  t.equal(gain.effectivePixelCount, 400)
  t.end()
})

void t.test('flats that are no noisier than darks, or no brighter, have no gain', (t) => {
  refuses(t, () => photonTransferGain([level(100, { temporalVarianceAdu2: 3 })]), 'no-solution', 'quieter')
  refuses(t, () => photonTransferGain([level(0)]), 'not-enough-data', 'no light')
  refuses(t, () => photonTransferGain([]), 'not-enough-data', 'no level')
  t.end()
})
