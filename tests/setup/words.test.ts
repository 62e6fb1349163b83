import t from 'tap'
import fc from 'fast-check'
import { short, spokenCelsius, spokenSeconds, spokenShare } from '../../src/setup/words.ts'

void t.test('a number is said with two significant digits, or whole from a hundred on', (t) => {
  const cases: [number, string][] = [
    [0, '0'],
    [0.00123, '0.0012'],
    [0.0994, '0.099'],
    [0.0996, '0.1'],
    [0.123, '0.12'],
    [0.994, '0.99'],
    [0.996, '1'],
    [1.04, '1'],
    [9.94, '9.9'],
    [9.96, '10'],
    [42.4, '42'],
    [99.6, '100'],
    [123.4, '123'],
    [999999, '999999'],
    [1234567, '1200000'],
    [-3.14159, '-3.1'],
    [-807.6, '-808'],
  ]
  for (const [value, said] of cases) t.equal(short(value), said, String(value))
  t.end()
})

void t.test('what is said is as near as its digits allow', (t) => {
  fc.assert(
    fc.property(fc.double({ min: -6, max: 5.999, noNaN: true }), (exponent) => {
      const value = 10 ** exponent
      const step = value >= 100 ? 1 : 10 ** (Math.floor(exponent) - 1)
      return Math.abs(Number(short(value)) - value) <= 0.5 * step * (1 + 1e-9)
    }),
    { seed: 20261125, numRuns: 2000 },
  )
  t.pass()
  t.end()
})

void t.test('lengths, shares and temperatures in the units of speech', (t) => {
  t.same([0.5, 99, 120, 7100, 9000].map(spokenSeconds), ['0.5 s', '99 s', '2 min', '118 min', '2.5 h'])
  t.same([0.0027, 0.048, 0.5, 3.4].map(spokenShare), ['0.27 %', '4.8 %', '50 %', '340 %'])
  t.same([-10, 4.5, 20.04].map(spokenCelsius), ['−10 °C', '4.5 °C', '20 °C'])
  t.end()
})
