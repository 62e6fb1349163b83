import fc from 'fast-check'
import t from 'tap'
import { fitLine } from '../../../src/engine/detector/linear-fit.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('three points, two weights, in closed form', (t) => {
  // Weighted means 1 and 2.5; Σ w (x - x̄)² = 2, Σ w (x - x̄)(y - ȳ) = 3.
  const fit = fitLine([
    { x: 0, y: 1, weight: 1 },
    { x: 1, y: 2.5, weight: 2 },
    { x: 2, y: 4, weight: 1 },
  ])
  t.match(fit, { slope: 1.5, intercept: 1, chiSquare: 0, degreesOfFreedom: 1 })
  t.match(fit, { slopeVariance: 1 / 2, interceptVariance: 1 / 4 + 1 / 2, covariance: -1 / 2 })
  t.end()
})

void t.test('chi-square is the weighted sum of squared residuals', (t) => {
  // The outer points pull the line to y = 1 + x/2 by symmetry about x = 1: residuals 1/3, -2/3, 1/3 about the mean line.
  const fit = fitLine([
    { x: 0, y: 1, weight: 4 },
    { x: 1, y: 0, weight: 4 },
    { x: 2, y: 1, weight: 4 },
  ])
  within(t, fit.slope, 0, 1e-15, 'slope')
  near(t, fit.intercept, 2 / 3, 1e-15, 'intercept')
  near(t, fit.chiSquare, 4 * (1 / 9 + 4 / 9 + 1 / 9), 1e-14, 'chi-square')
  t.end()
})

void t.test('a level far from zero costs no digits', (t) => {
  const fit = fitLine([0, 1, 2, 3].map((x) => ({ x: 1e6 + x, y: 1e8 + 3 * x, weight: 0.7 })))
  near(t, fit.slope, 3, 1e-9, 'slope')
  t.end()
})

void t.test('any line through two or more points is found again, whatever the weights', (t) => {
  const coordinate = fc.double({ min: -100, max: 100, noNaN: true })
  fc.assert(
    fc.property(
      coordinate,
      coordinate,
      fc.uniqueArray(fc.integer({ min: -50, max: 50 }), { minLength: 2, maxLength: 8 }),
      fc.double({ min: 0.1, max: 10, noNaN: true }),
      (intercept, slope, xs, weight) => {
        const points = xs.map((x, index) => ({ x, y: intercept + slope * x, weight: weight * (index + 1) }))
        const fit = fitLine(points)
        return Math.abs(fit.slope - slope) < 1e-10 && Math.abs(fit.intercept - intercept) < 1e-8
      },
    ),
    { numRuns: 300, seed: 6 },
  )
  t.end()
})

void t.test('a line needs two different abscissae', (t) => {
  refuses(t, () => fitLine([]), 'not-enough-data', 'nothing')
  const same = [0.1, 0.1, 0.1].map((x) => ({ x, y: x, weight: 1 }))
  refuses(t, () => fitLine(same), 'not-enough-data', 'one abscissa, although its mean is not exact')
  t.end()
})
