import t from 'tap'
import { stackSnr, stackSums, subWeight, subYields } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'
import { pixelModel, subsOfChance } from './models.ts'

void t.test('weights a/v give √(Σ a²/v), which no other weights exceed', (t) => {
  const model = pixelModel()
  const subs = subsOfChance(1, 40)
  const { signals, variances } = subYields(subs, model)
  const optimum = Math.sqrt(signals.reduce((sum, a, i) => sum + a ** 2 / (variances[i] ?? NaN), 0))
  near(t, stackSnr(stackSums(subs, model, 'inverse-variance'), model), optimum, 1e-12, 'the inverse-variance optimum')
  const random = seededRandom(2)
  for (let trial = 0; trial < 200; trial++) {
    let signal = 0
    let variance = 0
    signals.forEach((a, i) => {
      const v = variances[i] ?? NaN
      const weight = subWeight({ signal: a, variance: v }) * (1 + 0.3 * random.normal(0, 1))
      signal += weight * a
      variance += weight ** 2 * v
    })
    t.ok(signal / Math.sqrt(variance) <= optimum * (1 + 1e-12), 'other weights')
  }
  t.end()
})
