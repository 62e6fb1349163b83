import fc from 'fast-check'
import t from 'tap'
import { pairStatistics } from '../../../src/engine/detector/photon-transfer-pairs.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('D-PTC-07 pair statistics, eqs. 16, 18, 32 (EMVA 1288 R4.0, computed)', (t) => {
  const pair = pairStatistics([10, 12, 11, 15], [12, 11, 10, 13])
  t.same(pair, {
    meanAdu: 11.75,
    temporalVarianceAdu2: 1.125,
    spatialVarianceAdu2: 1.25,
    meanDifferenceAdu: 0.5,
    pixelCount: 4,
  })
  t.equal(pair.temporalVarianceAdu2 + pair.meanDifferenceAdu ** 2 / 2, 1.25, 'Release 3.1 has no mean term')
  t.end()
})

void t.test('typed arrays give the same, and a high level keeps its digits', (t) => {
  const first = [10, 12, 11, 15]
  const second = [12, 11, 10, 13]
  const expected = pairStatistics(first, second)
  t.same(pairStatistics(Uint16Array.from(first), Uint16Array.from(second)), expected)
  t.same(pairStatistics(Float32Array.from(first), Float32Array.from(second)), expected)
  const high = pairStatistics(
    first.map((value) => value + 1e9),
    second.map((value) => value + 1e9),
  )
  t.same(high, { ...expected, meanAdu: 1e9 + 11.75 })
  t.end()
})

void t.test('half the variance of the difference, and the covariance, whatever the frames', (t) => {
  const value = fc.double({ min: 0, max: 65_535, noNaN: true })
  const frames = fc.array(fc.tuple(value, value), { minLength: 2, maxLength: 40 })
  fc.assert(
    fc.property(frames, (pairs) => {
      const first = pairs.map(([a]) => a)
      const second = pairs.map(([, b]) => b)
      const pair = pairStatistics(first, second)
      const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length
      const differences = pairs.map(([a, b]) => a - b)
      const difference = mean(differences)
      const temporal = mean(differences.map((one) => (one - difference) ** 2)) / 2
      const covariance = mean(pairs.map(([a, b]) => (a - mean(first)) * (b - mean(second))))
      return (
        Math.abs(pair.temporalVarianceAdu2 - temporal) < 1e-4 &&
        Math.abs(pair.spatialVarianceAdu2 - covariance) < 1e-4 &&
        Math.abs(pair.meanAdu - (mean(first) + mean(second)) / 2) < 1e-6
      )
    }),
    { numRuns: 200, seed: 13 },
  )
  t.end()
})

void t.test('D-PTC-21 over 20 frames with ddof 0 a variance is 5 % low (computed); that of a pair is not', (t) => {
  // Values of ±1, all outcomes counted: k of 20 heads have the variance 1 - ((2k - 20)/20)² about their own mean.
  let expected = 0
  let ways = 1
  for (let heads = 0; heads <= 20; heads++) {
    expected += (ways / 2 ** 20) * (1 - ((2 * heads - 20) / 20) ** 2)
    ways *= (20 - heads) / (heads + 1)
  }
  near(t, expected, 0.95, 1e-12, 'ddof 0 over 20 frames')
  const everyOutcome = pairStatistics([1, 1, -1, -1], [1, -1, 1, -1])
  t.equal(everyOutcome.temporalVarianceAdu2, 1, 'a pair over all its outcomes: the true variance')
  t.equal(everyOutcome.spatialVarianceAdu2, 0, 'and no pattern')
  t.end()
})

void t.test('frames that do not belong together are refused', (t) => {
  refuses(t, () => pairStatistics([1], [1]), 'not-enough-data', 'one pixel')
  refuses(t, () => pairStatistics([1, 2, 3], [1, 2]), 'not-enough-data', 'sizes')
  refuses(t, () => pairStatistics([1, NaN], [1, 2]), 'out-of-range', 'NaN')
  refuses(t, () => pairStatistics([1, 2], [1, Infinity]), 'out-of-range', 'infinite')
  refuses(t, () => pairStatistics([1e200, -1e200], [1e200, -1e200]), 'out-of-range', 'sums that overflow')
  t.end()
})
