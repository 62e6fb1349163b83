import t from 'tap'
import { integrate } from '../../src/engine/quadrature.ts'
import { near, within } from '../support/near.ts'

// Abramowitz & Stegun 1964, table 25.4, n = 16 (from memory, recomputed with numpy 2.4 leggauss).
const TABLE = [
  { x: 0.0950125098376374, weight: 0.1894506104550685 },
  { x: 0.2816035507792589, weight: 0.1826034150449236 },
  { x: 0.45801677765722737, weight: 0.16915651939500254 },
  { x: 0.6178762444026438, weight: 0.14959598881657676 },
  { x: 0.755404408355003, weight: 0.12462897125553388 },
  { x: 0.8656312023878318, weight: 0.0951585116824928 },
  { x: 0.9445750230732326, weight: 0.062253523938647894 },
  { x: 0.9894009349916499, weight: 0.027152459411754096 },
]

void t.test('abscissae and weights (Abramowitz & Stegun 1964, table 25.4)', (t) => {
  const seen: number[] = []
  integrate(
    (x) => {
      seen.push(x)
      return 0
    },
    -1,
    1,
  )
  seen.sort((a, b) => a - b)
  t.equal(seen.length, 16)
  for (const [index, { x, weight }] of TABLE.entries()) {
    const [lower = NaN, upper = NaN] = [seen[7 - index], seen[8 + index]]
    within(t, upper, x, 1e-15, 'abscissa')
    within(t, lower, -x, 1e-15, 'its mirror image')
    within(
      t,
      integrate((at) => (at === upper ? 1 : 0), -1, 1),
      weight,
      2e-15,
      'weight',
    )
    within(
      t,
      integrate((at) => (at === lower ? 1 : 0), -1, 1),
      weight,
      2e-15,
      'its mirror image',
    )
  }
  t.end()
})

void t.test('polynomials up to degree 31 are exact, degree 32 is not', (t) => {
  for (const degree of [0, 1, 2, 7, 30, 31]) {
    near(
      t,
      integrate((x) => x ** degree, 0, 1),
      1 / (degree + 1),
      1e-14,
      `degree ${degree}`,
    )
  }
  const leftOver = Math.abs(integrate((x) => x ** 32, -1, 1) - 2 / 33)
  t.ok(leftOver > 1e-10 && leftOver < 1e-8, `the first term that is missed: ${leftOver}`)
  t.end()
})

void t.test('smooth integrals known in closed form', (t) => {
  near(t, integrate(Math.sin, 0, Math.PI), 2, 1e-14, 'half a sine wave')
  near(t, integrate(Math.exp, -1, 3), Math.exp(3) - Math.exp(-1), 1e-14, 'exponential')
  near(
    t,
    integrate((x) => 1 / (1 + x * x), 0, 1),
    Math.PI / 4,
    1e-13,
    'arc tangent',
  )
  near(
    t,
    integrate((x) => 4 * x, 3, 1),
    -16,
    1e-14,
    'ends exchanged',
  )
  t.equal(integrate(Math.exp, 2, 2), 0, 'nothing between')
  t.end()
})
