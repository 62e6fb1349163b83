import t from 'tap'
import { driftVarianceAdu2 } from '../../../src/engine/index.ts'
import { pairStatistics } from '../../../src/engine/detector/photon-transfer-pairs.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('a pattern and the same times 1.08 differ by the drift alone (EMVA 1288 R4.0, eqs. 18 and 32)', (t) => {
  const pattern = Array.from({ length: 101 }, (_, pixel) => 1000 + 7 * pixel + 40 * Math.sin(pixel))
  for (const ratio of [1.08, 0.9, 3]) {
    const pair = pairStatistics(
      pattern,
      pattern.map((value) => ratio * value),
    )
    const drift = driftVarianceAdu2({
      signalAdu: pair.meanAdu,
      apartAdu: Math.abs(pair.meanDifferenceAdu),
      sharedVarianceAdu2: pair.spatialVarianceAdu2,
    })
    near(t, drift, pair.temporalVarianceAdu2, 1e-9, `${ratio} times the light`)
  }
  t.end()
})

void t.test('steady light and a field without a pattern add nothing', (t) => {
  t.equal(driftVarianceAdu2({ signalAdu: 1000, apartAdu: 0, sharedVarianceAdu2: 400 }), 0)
  t.equal(driftVarianceAdu2({ signalAdu: 1000, apartAdu: 50, sharedVarianceAdu2: -3 }), 0)
  t.end()
})

void t.test('a flat that is no brighter than the dark', (t) => {
  const of = (signalAdu: number, apartAdu: number) => () =>
    driftVarianceAdu2({ signalAdu, apartAdu, sharedVarianceAdu2: 1 })
  refuses(t, of(0, 0), 'out-of-range', 'both')
  refuses(t, of(-5, 1), 'out-of-range', 'both below')
  refuses(t, of(10, 20), 'out-of-range', 'one of them')
  t.end()
})
