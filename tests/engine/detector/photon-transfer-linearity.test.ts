import t from 'tap'
import { linearity, type ResponsePoint } from '../../../src/engine/detector/photon-transfer-linearity.ts'
import { near, refuses, within } from '../../support/near.ts'
import { EMVA_EXAMPLE } from './photon-transfer-example.ts'

const straight: ResponsePoint[] = [1, 2, 4].map((exposure) => ({
  exposure,
  signalAdu: 5 + 100 * exposure,
  relativeUncertainty: 0.01 * exposure,
}))

void t.test('D-PTC-14 linearity, eqs. 58 to 63, nine points of real data (EMVA 1288 reference data)', (t) => {
  const result = linearity(
    EMVA_EXAMPLE.map((level) => ({
      exposure: Number(level.photonsPerPixel),
      signalAdu: level.meanAdu - level.darkMeanAdu,
      relativeUncertainty: null,
    })),
  )
  near(t, result.slope, 0.127029, 1e-3, 'slope')
  near(t, result.offsetAdu, 1.0108, 1e-3, 'offset')
  near(t, result.minimumShare, -0.005614, 1e-3, 'lowest deviation')
  near(t, result.maximumShare, 0.003986, 1e-3, 'highest deviation')
  near(t, result.errorShare, 0.002773, 1e-3, 'linearity error')
  t.equal(result.deviationShares.length, 9)
  t.same([result.standardUncertainty, result.noiseFloorShare], [null, null])
  t.end()
})

void t.test('a straight response has no error, only what its noise would show', (t) => {
  const result = linearity(straight)
  near(t, result.slope, 100, 1e-12, 'slope')
  near(t, result.offsetAdu, 5, 1e-10, 'offset')
  within(t, result.errorShare, 0, 1e-14, 'error')
  near(t, Number(result.standardUncertainty), Math.hypot(0.01, 0.02, 0.04) / 3, 1e-12, 'of the mean')
  near(t, Number(result.noiseFloorShare), (Math.sqrt(2 / Math.PI) * 0.07) / 3, 1e-12, 'mean |noise|')
  t.end()
})

void t.test('each level counts by its own size', (t) => {
  // Two levels at the ends fix the line but for the weights 1/y²: the small level is met 100 times more closely.
  const bent = linearity([
    { exposure: 1, signalAdu: 10, relativeUncertainty: null },
    { exposure: 2, signalAdu: 1000, relativeUncertainty: null },
    { exposure: 3, signalAdu: 1000, relativeUncertainty: null },
  ])
  t.ok(Math.abs(Number(bent.deviationShares[0])) < 0.05)
  t.ok(bent.maximumShare > 0.3)
  t.equal(bent.minimumShare, Math.min(...bent.deviationShares))
  t.end()
})

void t.test('what cannot be judged is refused', (t) => {
  refuses(t, () => linearity(straight.slice(0, 2)), 'not-enough-data', 'two levels')
  const [first, second] = straight
  const third = (change: Partial<ResponsePoint>) => () =>
    linearity(
      [first, second, first].flatMap((point, index) => (point ? [{ ...point, ...(index === 2 ? change : {}) }] : [])),
    )
  refuses(t, third({ exposure: 0 }), 'out-of-range', 'no light')
  refuses(t, third({ signalAdu: 0 }), 'out-of-range', 'no signal')
  t.end()
})
