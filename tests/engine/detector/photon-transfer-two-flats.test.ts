import t from 'tap'
import { twoFlatsTwoBiases, type TwoFlatsTwoBiases } from '../../../src/engine/detector/photon-transfer-two-flats.ts'
import { near, refuses, within } from '../../support/near.ts'

const FRAMES: TwoFlatsTwoBiases = {
  flatMeansAdu: [20_312.4, 20_296],
  biasMeansAdu: [300.2, 299.8],
  flatDifferenceAdu: 182.4,
  biasDifferenceAdu: 9.1,
}

void t.test(
  'D-PTC-20 two flats, two biases (Janesick, as in the help of a public reduction package; Howell 2006)',
  (t) => {
    const { electronsPerAdu, readNoiseElectrons } = twoFlatsTwoBiases(FRAMES)
    within(t, electronsPerAdu.value, 1.20555, 5e-6, 'gain')
    within(t, readNoiseElectrons.value, 7.75729, 5e-6, 'read noise')
    t.same([electronsPerAdu.standardUncertainty, readNoiseElectrons.standardUncertainty], [null, null])
    t.end()
  },
)

void t.test(
  'D-PTC-22 a pair gives the gain to a relative √(2/N): 10 e-/DN (Janesick 2007, ch. 6: 0.141, 0.645)',
  (t) => {
    const precision = (pixelCount: number) => {
      const { electronsPerAdu } = twoFlatsTwoBiases({
        flatMeansAdu: [1000, 1000],
        biasMeansAdu: [0, 0],
        flatDifferenceAdu: Math.sqrt(200),
        biasDifferenceAdu: 0,
        pixelCount,
      })
      near(t, electronsPerAdu.value, 10, 1e-12, 'gain')
      return Number(electronsPerAdu.standardUncertainty)
    }
    within(t, precision(10_000), 0.1414, 5e-5, '10000 pixels')
    within(t, precision(500), 0.6325, 5e-5, '500 pixels')
    near(t, precision(10_000), 0.141, 0.02, 'as simulated in print')
    near(t, precision(500), 0.645, 0.02, 'as simulated in print')
    t.end()
  },
)

void t.test('uncertainties are the derivatives with respect to both variances', (t) => {
  const pixelCount = 5000
  const at = twoFlatsTwoBiases({ ...FRAMES, pixelCount })
  const gain = (change: Partial<TwoFlatsTwoBiases>) => twoFlatsTwoBiases({ ...FRAMES, ...change })
  // One standard uncertainty of a variance is √(2/N) of it, of its root half as much.
  const step = 1e-6
  const flats = gain({ flatDifferenceAdu: 182.4 * (1 + step) })
  const biases = gain({ biasDifferenceAdu: 9.1 * (1 + step) })
  for (const quantity of ['electronsPerAdu', 'readNoiseElectrons'] as const) {
    const { value, standardUncertainty } = at[quantity]
    const numeric = Math.hypot(flats[quantity].value - value, biases[quantity].value - value) / step
    near(t, Number(standardUncertainty), (numeric * Math.sqrt(2 / pixelCount)) / 2, 1e-4, quantity)
  }
  t.end()
})

void t.test('frames without a difference are refused', (t) => {
  const refused = (change: Partial<TwoFlatsTwoBiases>, code: string) => {
    refuses(t, () => twoFlatsTwoBiases({ ...FRAMES, ...change }), code, JSON.stringify(change))
  }
  refused({ flatMeansAdu: [300, 300] }, 'no-solution')
  refused({ flatDifferenceAdu: 9.1 }, 'no-solution')
  refused({ flatMeansAdu: [NaN, 1] }, 'no-solution')
  refused({ flatDifferenceAdu: -1 }, 'out-of-range')
  refused({ biasDifferenceAdu: -1 }, 'out-of-range')
  refused({ pixelCount: 1 }, 'out-of-range')
  t.end()
})
