import t from 'tap'
import fc from 'fast-check'
import { snrPerArcsec2 } from '../../src/engine/signal-to-noise.ts'
import { near } from '../support/near.ts'
import { holds, logUniform } from './exposure/arbitraries.ts'

void t.test('a pixel of two arcsec has four square arcsec to spread its ratio over', (t) => {
  near(t, snrPerArcsec2({ snrPerPixel: 10, samplingFraction: 1, pixelScaleArcsec: 2 }), 5, 1e-15, 'per arcsec²')
  near(t, snrPerArcsec2({ snrPerPixel: 10, samplingFraction: 1, pixelScaleArcsec: 0.5 }), 20, 1e-15, 'small pixels')
  t.equal(snrPerArcsec2({ snrPerPixel: 0, samplingFraction: 1, pixelScaleArcsec: 2 }), 0, 'no signal')
  t.end()
})

for (const { color, samplingFraction, expected } of [
  { color: 'green', samplingFraction: 0.5, expected: 0.707107 },
  { color: 'red or blue', samplingFraction: 0.25, expected: 0.5 },
]) {
  void t.test(`D-ADC-10 ${color} of a Bayer mosaic against full coverage (computed; Bayer 1976)`, (t) => {
    const full = snrPerArcsec2({ snrPerPixel: 7, samplingFraction: 1, pixelScaleArcsec: 1.3 })
    near(t, snrPerArcsec2({ snrPerPixel: 7, samplingFraction, pixelScaleArcsec: 1.3 }) / full, expected, 1e-6, 'ratio')
    t.end()
  })
}

void t.test('pixels of k times the side with k times the ratio are the same set-up', (t) => {
  holds(
    fc.property(logUniform(1e-3, 1e4), logUniform(0.1, 100), logUniform(0.1, 10), (snrPerPixel, scale, k) => {
      const fine = snrPerArcsec2({ snrPerPixel, samplingFraction: 0.5, pixelScaleArcsec: scale })
      const coarse = snrPerArcsec2({ snrPerPixel: snrPerPixel * k, samplingFraction: 0.5, pixelScaleArcsec: scale * k })
      return Math.abs(coarse / fine - 1) < 1e-14
    }),
    { seed: 202, numRuns: 200 },
  )
  t.pass('at any scale')
  t.end()
})
