import t from 'tap'
import { curveSegments, requireShare, segmentsAt } from '../../../src/engine/light/curve.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('straight lines between the points, nothing outside', (t) => {
  const segments = curveSegments([
    { wavelengthNm: 400, value: 0.2 },
    { wavelengthNm: 500, value: 0.8 },
    { wavelengthNm: 600, value: 0.8 },
  ])
  near(t, segmentsAt(segments, 450), 0.5, 1e-12, 'half way')
  near(t, segmentsAt(segments, 400), 0.2, 1e-12, 'at the first point')
  near(t, segmentsAt(segments, 600), 0.8, 1e-12, 'at the last point')
  t.equal(segmentsAt(segments, 399.9), 0)
  t.equal(segmentsAt(segments, 600.1), 0)
  t.end()
})

void t.test('two points at one wavelength are a step', (t) => {
  const segments = curveSegments([
    { wavelengthNm: 400, value: 0.2 },
    { wavelengthNm: 500, value: 0.2 },
    { wavelengthNm: 500, value: 0.9 },
    { wavelengthNm: 600, value: 0.9 },
  ])
  t.equal(segments.length, 2)
  near(t, segmentsAt(segments, 499.999), 0.2, 1e-12, 'before it')
  near(t, segmentsAt(segments, 500), 0.2, 1e-12, 'at it, the short side')
  near(t, segmentsAt(segments, 500.001), 0.9, 1e-12, 'after it')
  t.end()
})

void t.test('a share is a number from 0 to 1, or a table of such in order of wavelength', (t) => {
  const point = (wavelengthNm: number, value: number): { wavelengthNm: number; value: number } => ({
    wavelengthNm,
    value,
  })
  t.doesNotThrow(() => {
    requireShare('optics', 0.8)
    requireShare('optics', [point(400, 0), point(400, 1), point(500, 1)])
  })
  refuses(
    t,
    () => {
      requireShare('optics', 1.1)
    },
    'out-of-range',
    'more than all',
  )
  refuses(
    t,
    () => {
      requireShare('optics', NaN)
    },
    'out-of-range',
    'no number',
  )
  refuses(
    t,
    () => {
      requireShare('optics', [point(400, 0.5)])
    },
    'not-enough-data',
    'one point',
  )
  refuses(
    t,
    () => {
      requireShare('optics', [point(500, 0.5), point(400, 0.5)])
    },
    'out-of-range',
    'out of order',
  )
  refuses(
    t,
    () => {
      requireShare('optics', [point(400, -0.1), point(500, 0.5)])
    },
    'out-of-range',
    'negative',
  )
  refuses(
    t,
    () => {
      requireShare('optics', [point(0.4, 0.5), point(0.5, 0.5)])
    },
    'out-of-range',
    'µm for nm',
  )
  t.end()
})
