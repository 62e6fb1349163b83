import fc from 'fast-check'
import t from 'tap'
import type { NumberOrCurve } from '../../../src/engine/light/curve.ts'
import { responseAt, responseIntegral, responseOf } from '../../../src/engine/light/response.ts'
import { near } from '../../support/near.ts'

const ramp = (fromNm: number, toNm: number, from: number, to: number): NumberOrCurve => [
  { wavelengthNm: fromNm, value: from },
  { wavelengthNm: toNm, value: to },
]
const flat = [{ fromNm: 300, toNm: 1100, value: 2 }]

void t.test('a product of numbers is flat over all that silicon sees', (t) => {
  const response = responseOf([0.5, 0.8])
  near(t, responseAt(response, 300), 0.4, 1e-12, 'at 300 nm')
  near(t, responseAt(response, 1100), 0.4, 1e-12, 'at 1100 nm')
  t.equal(responseAt(response, 299), 0)
  near(t, responseIntegral({ response, spectrum: flat }), 0.4 * 2 * 800, 1e-12, 'integral')
  t.end()
})

void t.test('integrals of products of ramps are exact', (t) => {
  const response = responseOf([ramp(400, 600, 0, 1), ramp(500, 700, 1, 0), 0.5])
  // On 500 to 600 nm, with u = (λ - 500)/100: 0.5 (0.5 + u/2)(1 - u/2).
  near(t, responseIntegral({ response, spectrum: flat }), 2 * 0.5 * 100 * (0.5 + 1 / 8 - 1 / 12), 1e-12, 'two ramps')
  near(t, responseAt(response, 550), 0.5 * 0.75 * 0.75, 1e-12, 'in the middle')
  t.equal(responseAt(response, 450), 0, 'where only one reaches')
  t.end()
})

void t.test('each step of the spectrum counts with its own value', (t) => {
  const spectrum = [
    { fromNm: 300, toNm: 450, value: 1 },
    { fromNm: 450, toNm: 1100, value: 3 },
  ]
  const response = responseOf([ramp(400, 500, 0, 1)])
  near(t, responseIntegral({ response, spectrum }), 1 * 12.5 + 3 * 37.5, 1e-12, 'integral')
  t.end()
})

void t.test('a further smooth factor is integrated with it', (t) => {
  const response = responseOf([ramp(400, 500, 1, 1), 0.5])
  const transmission = (nm: number): number => Math.exp(-nm / 100)
  const closed = 0.5 * 2 * 100 * (Math.exp(-4) - Math.exp(-5))
  near(t, responseIntegral({ response, spectrum: flat, transmission }), closed, 1e-12, 'integral')
  t.end()
})

void t.test('what reaches beyond 300 to 1100 nm is cut off there, and a closed system sees nothing', (t) => {
  near(t, responseIntegral({ response: responseOf([ramp(200, 1300, 1, 1)]), spectrum: flat }), 1600, 1e-12, 'cut off')
  t.same(responseOf([ramp(1200, 1300, 1, 1)]).pieces, [], 'beyond silicon')
  t.equal(responseIntegral({ response: responseOf([ramp(400, 500, 1, 1), 0]), spectrum: flat }), 0, 'a factor of 0')
  t.same(responseOf([ramp(400, 500, 0, 0), 1]).pieces, [], 'a table of 0')
  t.end()
})

void t.test('the order of the factors does not matter', (t) => {
  const share = fc.double({ min: 0.01, max: 1, noNaN: true })
  const wavelength = fc.double({ min: 310, max: 1000, noNaN: true })
  const curve = fc.tuple(wavelength, share, share).map(([from, a, b]) => ramp(from, from + 250, a, b))
  fc.assert(
    fc.property(fc.array(fc.oneof(share, curve), { minLength: 1, maxLength: 5 }), (factors) => {
      const there = responseIntegral({ response: responseOf(factors), spectrum: flat })
      const back = responseIntegral({ response: responseOf(factors.toReversed()), spectrum: flat })
      return Math.abs(there - back) <= 1e-12 * there
    }),
    { numRuns: 300, seed: 111 },
  )
  t.pass('of up to five')
  t.end()
})

void t.test('one more factor never lets more through', (t) => {
  const share = fc.double({ min: 0, max: 1, noNaN: true })
  fc.assert(
    fc.property(share, share, share, (a, b, wavelengthShare) => {
      const nm = 300 + 800 * wavelengthShare
      const before = responseOf([ramp(350, 1000, a, b)])
      const after = responseOf([ramp(350, 1000, a, b), ramp(400, 900, b, a)])
      return responseAt(after, nm) <= responseAt(before, nm)
    }),
    { numRuns: 200, seed: 112 },
  )
  t.pass('at any wavelength')
  t.end()
})
