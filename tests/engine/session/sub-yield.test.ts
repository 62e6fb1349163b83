import t from 'tap'
import { subYield } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE } from './models.ts'

void t.test('signal and variance of a sub, by hand', (t) => {
  const model = pixelModel({ underlyingElectronsPerPixelSecond: 0.02, effectivePixels: 9 })
  const sub = { ...REFERENCE, transparency: 0.5, capturedFraction: 0.7 }
  const { signal, variance } = subYield(sub, model)
  near(t, signal, 0.04 * 0.5 * 0.7 * 120, 1e-12, 'signal')
  near(t, variance, 1.68 + 9 * ((0.3 + 0.01 + 0.01) * 120 + 1.6 ** 2 + 0.1), 1e-12, 'variance')
  t.end()
})
