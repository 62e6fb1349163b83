import fc from 'fast-check'
import t from 'tap'
import {
  addMagnitudes,
  magnitudeOfRelativeFlux,
  relativeFlux,
  subtractMagnitudes,
} from '../../../src/engine/light/magnitudes.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('five magnitudes are a factor of 100, and back', (t) => {
  near(t, relativeFlux(5), 0.01, 1e-12, 'flux of magnitude 5')
  within(t, magnitudeOfRelativeFlux(0.01), 5, 1e-12, 'magnitude of 1 %')
  t.end()
})

void t.test('S-SB-12 natural 22.0 and artificial 21.0 together (computed: flux addition)', (t) => {
  within(t, addMagnitudes([22, 21]), 20.6361, 1e-4, 'total')
  t.end()
})

void t.test('S-SB-13 artificial part of a 20.5 sky if natural is 21.9 (computed: flux subtraction)', (t) => {
  within(t, subtractMagnitudes({ total: 20.5, part: 21.9 }), 20.8498, 1e-4, 'artificial part')
  t.end()
})

void t.test('S-SB-14 half a magnitude darker is 36.9 % less light (published -36.9 %)', (t) => {
  within(t, (relativeFlux(0.5) - 1) * 100, -36.9, 0.01, 'change in per cent')
  t.end()
})

void t.test('S-SB-16 a source that brightens a V = 21.45 sky by 0.2 mag (Massey & Foltz 2000)', (t) => {
  const own = subtractMagnitudes({ total: 21.45, part: 21.65 })
  within(t, own, 23.385, 0.001, 'its own brightness')
  within(t, relativeFlux(own) / relativeFlux(21.45), 0.1682, 0.00005, 'its share of the total')
  t.end()
})

void t.test('subtracting undoes adding', (t) => {
  const magnitude = fc.double({ min: 10, max: 25, noNaN: true })
  fc.assert(
    fc.property(magnitude, fc.double({ min: -4, max: 4, noNaN: true }), (first, difference) => {
      const second = first + difference
      const back = subtractMagnitudes({ total: addMagnitudes([first, second]), part: second })
      return Math.abs(back - first) < 1e-9
    }),
    { numRuns: 300, seed: 101 },
  )
  within(t, addMagnitudes([21.9]), 21.9, 1e-12, 'one component is itself')
  t.end()
})

void t.test('no light has no magnitude', (t) => {
  refuses(t, () => addMagnitudes([]), 'no-solution', 'no component')
  refuses(t, () => magnitudeOfRelativeFlux(Infinity), 'no-solution', 'infinite flux')
  refuses(t, () => magnitudeOfRelativeFlux(NaN), 'no-solution', 'no number')
  refuses(t, () => subtractMagnitudes({ total: 21.9, part: 21.9 }), 'no-solution', 'the part is all of it')
  refuses(t, () => subtractMagnitudes({ total: 21.9, part: 20 }), 'no-solution', 'the part is more than all of it')
  t.end()
})
