import fc from 'fast-check'
import t from 'tap'
import { darkCurrentFromLadder, type DarkPair } from '../../../src/engine/detector/photon-transfer-dark.ts'
import { near, refuses } from '../../support/near.ts'

const K = { value: 0.25, standardUncertainty: null }

const ladder = (seconds: readonly number[], pixelCount?: number): DarkPair[] =>
  seconds.map((exposureSeconds) => ({
    exposureSeconds,
    meanAdu: 300 + 0.45 * exposureSeconds,
    temporalVarianceAdu2: 2 + 0.1125 * exposureSeconds,
    ...(pixelCount === undefined ? {} : { pixelCount }),
  }))

void t.test('D-PTC-16 1.8 e-/s by mean and by variance, K 0.25, any ladder, eqs. 29 and 30 (EMVA 1288 R4.0)', (t) => {
  const times = fc.uniqueArray(fc.integer({ min: 0, max: 3600 }), { minLength: 2, maxLength: 10 })
  fc.assert(
    fc.property(times, (seconds) => {
      const { byMean, byVariance } = darkCurrentFromLadder({ darks: ladder(seconds), aduPerElectron: K })
      return Math.abs(byMean.value - 1.8) < 1e-9 && Math.abs(byVariance.value - 1.8) < 1e-9
    }),
    { numRuns: 200, seed: 14 },
  )
  t.end()
})

void t.test('with pixel counts: what mean and variance of each pair carry, and the gain', (t) => {
  const aduPerElectron = { value: 0.25, standardUncertainty: 0.25 * 0.02 }
  const { byMean, byVariance } = darkCurrentFromLadder({ darks: ladder([0, 100], 5000), aduPerElectron })
  const meanSlope = Math.sqrt((2 + 13.25) / (2 * 5000)) / 100
  near(t, Number(byMean.standardUncertainty), Math.hypot(meanSlope / 0.25, 1.8 * 0.02), 1e-6, 'by mean')
  const varianceSlope = (Math.hypot(2, 13.25) * Math.sqrt(2 / 5000)) / 100
  near(
    t,
    Number(byVariance.standardUncertainty),
    Math.hypot(varianceSlope / 0.0625, 2 * 1.8 * 0.02),
    1e-5,
    'by variance',
  )
  t.end()
})

void t.test('without pixel counts the scatter of three or more tells', (t) => {
  const aduPerElectron = { value: 0.25, standardUncertainty: 0 }
  const bent = ladder([0, 100, 200]).map((dark, index) =>
    index === 1 ? { ...dark, meanAdu: dark.meanAdu + 0.3 } : dark,
  )
  const { byMean, byVariance } = darkCurrentFromLadder({ darks: bent, aduPerElectron })
  // Residuals -0.1, 0.2, -0.1: chi-square 0.06 with one degree of freedom, Σ(x - x̄)² = 20000.
  near(t, Number(byMean.standardUncertainty), Math.sqrt(0.06 / 20_000) / 0.25, 1e-9, 'by mean')
  t.ok(Number(byVariance.standardUncertainty) < 1e-12, 'no scatter, no uncertainty')
  const two = darkCurrentFromLadder({ darks: ladder([0, 100]), aduPerElectron })
  t.equal(two.byMean.standardUncertainty, null)
  const open = darkCurrentFromLadder({ darks: ladder([0, 100], 5000), aduPerElectron: K })
  t.equal(open.byMean.standardUncertainty, null, 'a gain of unknown uncertainty')
  t.end()
})

void t.test('what cannot be fitted is refused', (t) => {
  const refused = (darks: readonly DarkPair[], code: string, what: string) => {
    refuses(t, () => darkCurrentFromLadder({ darks, aduPerElectron: K }), code, what)
  }
  const dark = { exposureSeconds: 1, meanAdu: 1, temporalVarianceAdu2: 1 }
  refused([dark, dark], 'not-enough-data', 'one exposure')
  refused([], 'not-enough-data', 'nothing')
  refused([{ ...dark, exposureSeconds: -1 }], 'out-of-range', 'exposure')
  refused([{ ...dark, meanAdu: NaN }], 'out-of-range', 'mean')
  refused([{ ...dark, temporalVarianceAdu2: -1 }], 'out-of-range', 'variance')
  refused([{ ...dark, pixelCount: 1 }], 'out-of-range', 'pixels')
  const gain = { value: 0, standardUncertainty: null }
  refuses(t, () => darkCurrentFromLadder({ darks: ladder([0, 1]), aduPerElectron: gain }), 'out-of-range', 'gain')
  t.end()
})
