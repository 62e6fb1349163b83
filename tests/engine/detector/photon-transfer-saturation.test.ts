import t from 'tap'
import { saturationOf } from '../../../src/engine/detector/photon-transfer-saturation.ts'
import { near } from '../../support/near.ts'
import type { PhotonTransferLevel } from '../../../src/engine/detector/photon-transfer-levels.ts'

function ladder(
  rows: readonly (readonly [signal: number, variance: number, clipped?: number])[],
): PhotonTransferLevel[] {
  return rows.map(([signal, temporalVarianceAdu2, clippedShare]) => ({
    meanAdu: 500 + signal,
    darkMeanAdu: 500,
    temporalVarianceAdu2,
    darkTemporalVarianceAdu2: 4,
    ...(clippedShare === undefined ? {} : { clippedShare }),
  }))
}

void t.test('the level of the highest variance, known to the spacing of its neighbours (EMVA 1288 R3.1)', (t) => {
  const saturation = saturationOf(
    ladder([
      [10_000, 5000],
      [20_000, 10_000],
      [26_000, 13_000],
      [30_000, 2000],
    ]),
  )
  t.match(saturation, { method: 'variance-maximum', signalAdu: 26_000, meanAdu: 26_500 })
  near(t, Number(saturation?.standardUncertainty), 10_000 / Math.sqrt(12), 1e-12, 'rectangular')
  t.end()
})

void t.test('a variance that rises to the end, or falls by scatter alone, is no saturation', (t) => {
  t.equal(
    saturationOf(
      ladder([
        [100, 50],
        [200, 100],
        [300, 150],
      ]),
    ),
    null,
  )
  t.equal(
    saturationOf(
      ladder([
        [100, 50],
        [200, 100],
        [210, 95],
      ]),
    ),
    null,
    'within 10 %',
  )
  t.equal(saturationOf(ladder([[200, 100]])), null, 'one level')
  t.end()
})

void t.test('0.1 to 0.2 % of the pixels at the highest code: that level (EMVA 1288 R4.0)', (t) => {
  const saturation = saturationOf(
    ladder([
      [20_000, 10_000, 0],
      [24_000, 12_000, 0.0005],
      [25_000, 12_100, 0.0015],
      [26_000, 11_000, 0.02],
      [27_000, 100, 0.9],
    ]),
  )
  t.match(saturation, { method: 'clipped-share', signalAdu: 25_000, meanAdu: 25_500 })
  near(t, Number(saturation?.standardUncertainty), 2000 / Math.sqrt(12), 1e-12, 'between its neighbours')
  t.end()
})

void t.test('where no level shows just that share, the middle of the two about it', (t) => {
  const saturation = saturationOf(
    ladder([
      [20_000, 10_000, 0],
      [24_000, 12_000, 0.0005],
      [26_000, 11_000, 0.02],
    ]),
  )
  t.match(saturation, { method: 'clipped-share', signalAdu: 25_000, meanAdu: 25_500 })
  near(t, Number(saturation?.standardUncertainty), 2000 / Math.sqrt(12), 1e-12, 'between the two')
  t.end()
})

void t.test('shares that never pass the mark, or start past it, are no saturation', (t) => {
  t.equal(
    saturationOf(
      ladder([
        [100, 50, 0],
        [200, 100, 0.0015],
      ]),
    ),
    null,
    'never past it, and the variance rises',
  )
  t.equal(saturationOf(ladder([[300, 150, 0.5]])), null, 'past it from the start')
  t.end()
})

void t.test(
  'a well that fills below the highest code: by the fall of the variance, although no pixel is clipped',
  (t) => {
    const full = ladder([
      [2000, 2016, 0],
      [6000, 6016, 0],
      [8700, 8716, 0],
      [9000, 16, 0],
      [9000, 16, 0],
    ])
    t.match(saturationOf(full), { method: 'variance-maximum', signalAdu: 8700, meanAdu: 9200 })
    t.end()
  },
)

void t.test('where the variance falls from the first level on, saturation lies between it and the next', (t) => {
  const saturation = saturationOf(
    ladder([
      [4000, 4016],
      [9000, 16],
    ]),
  )
  t.match(saturation, { method: 'variance-maximum', signalAdu: 6500, meanAdu: 7000 })
  near(t, Number(saturation?.standardUncertainty), 5000 / Math.sqrt(12), 1e-12, 'rectangular')
  t.end()
})
