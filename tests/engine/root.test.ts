import t from 'tap'
import fc from 'fast-check'
import { findRoot } from '../../src/engine/root.ts'
import { near } from '../support/near.ts'
import { holds, logUniform } from './exposure/arbitraries.ts'

void t.test('roots known in closed form', (t) => {
  near(
    t,
    findRoot((x) => Math.log(x) - 1, 0.1, 100),
    Math.E,
    1e-12,
    'e',
  )
  near(
    t,
    findRoot((x) => x ** 3 - 2, 0.001, 86400),
    Math.cbrt(2),
    1e-12,
    'cube root of 2',
  )
  near(
    t,
    findRoot((x) => 2 - x ** 2, 0.001, 86400),
    Math.SQRT2,
    1e-12,
    'a falling function',
  )
  near(
    t,
    findRoot((x) => Math.cos(x), 1, 2),
    Math.PI / 2,
    1e-12,
    'cosine',
  )
  t.end()
})

void t.test('near either end of seven decades the ratio is right, not only the difference', (t) => {
  near(
    t,
    findRoot((x) => x - 0.00123, 0.001, 86400),
    0.00123,
    1e-12,
    'low end',
  )
  near(
    t,
    findRoot((x) => x - 86399, 0.001, 86400),
    86399,
    1e-12,
    'high end',
  )
  t.end()
})

void t.test('a root that lies on the lower end is found', (t) => {
  near(
    t,
    findRoot((x) => x - 1, 1, 50),
    1,
    1e-12,
    'lower end',
  )
  t.end()
})

void t.test('a place where the function is exactly zero is taken at once', (t) => {
  let calls = 0
  const root = findRoot(
    (x) => {
      calls++
      return Math.round(x) - 2
    },
    1,
    4,
  )
  t.equal(Math.round(root), 2)
  t.equal(calls, 3, 'both ends and the geometric mean')
  t.end()
})

void t.test('the side of a jump is found to 1e-12', (t) => {
  near(
    t,
    findRoot((x) => (x < Math.PI ? -1 : 1), 0.001, 86400),
    Math.PI,
    1e-12,
    'jump',
  )
  t.end()
})

void t.test('smooth functions take few evaluations, and bad ones hardly more than halving would', (t) => {
  // log₂(ln(8.64e7)/1e-12) = 44 halvings.
  const evaluations = (f: (x: number) => number) => {
    let calls = 0
    findRoot(
      (x) => {
        calls++
        return f(x)
      },
      0.001,
      86400,
    )
    return calls
  }
  t.ok(evaluations((x) => Math.log(x / 7)) <= 5, 'a straight line on the logarithmic scale')
  t.ok(evaluations((x) => x / (x + 7) - 0.95) <= 13, 'a saturating curve')
  t.ok(evaluations((x) => x ** 3 - 2) <= 12, 'a cubic')
  t.ok(evaluations((x) => (x < 7 ? -1 : 1)) <= 50, 'a jump')
  t.ok(evaluations((x) => Math.atan(1e9 * (x - 7))) <= 60, 'nearly a jump')
  t.end()
})

void t.test('any power law is solved, rising or falling', (t) => {
  holds(
    fc.property(
      logUniform(0.002, 8e4),
      fc.double({ min: 0.3, max: 3, noNaN: true }),
      fc.boolean(),
      (x, power, rises) => {
        const f = (s: number) => (rises ? 1 : -1) * ((s / x) ** power - 1)
        return Math.abs(findRoot(f, 0.001, 86400) / x - 1) < 2e-12
      },
    ),
    { seed: 201, numRuns: 300 },
  )
  t.pass('within 2e-12')
  t.end()
})
