import t from 'tap'
import fc from 'fast-check'
import { starSubBudget } from '../../src/engine/exposure/star.ts'
import { propagate, type QuantityUncertainty, type UncertainInput } from '../../src/engine/uncertainty.ts'
import { near, within } from '../support/near.ts'
import { holds, logUniform } from './exposure/arbitraries.ts'

/** Propagates through a model of named numbers. */
function propagated(
  given: Record<string, [value: number, standardUncertainty: number]>,
  model: (values: Record<string, number>) => Record<string, number> | null,
): QuantityUncertainty[] {
  const entries = Object.entries(given)
  const middle = Object.fromEntries(entries.map(([input, [value]]) => [input, value]))
  const inputs = entries.map(([input, [value, standardUncertainty]]) => ({ input, value, standardUncertainty }))
  return propagate(
    (replaced, value) => model(replaced === null ? middle : { ...middle, [replaced.input]: value }),
    inputs,
  )
}

/** The only quantity there is. */
function single(quantities: QuantityUncertainty[]): QuantityUncertainty {
  const [first] = quantities
  if (first === undefined || quantities.length > 1) throw new Error('one quantity was expected')
  return first
}

const sum = (values: Record<string, number>) => ({ sum: Object.values(values).reduce((a, b) => a + b, 0) })

void t.test('D-GUM-02 end gauge, component u(d) (JCGM 100:2008, H.1)', (t) => {
  const { standardUncertainty } = single(propagated({ d: [215, 5.8], d1: [0, 3.9], d2: [0, 6.7] }, sum))
  within(t, standardUncertainty, 9.6819, 5e-5, 'nm')
  t.end()
})

void t.test('D-GUM-01 and D-GUM-03 end gauge, combined (JCGM 100:2008, H.1)', (t) => {
  // l = ls + d − ls (δα θ + αs δθ), in nanometres and kelvin.
  const length = (values: Record<string, number>) => {
    const { ls = NaN, d = NaN, dAlpha = NaN, theta = NaN, alpha = NaN, dTheta = NaN } = values
    return ls + d - ls * (dAlpha * theta + alpha * dTheta)
  }
  const given = {
    ls: [50000623, 25],
    d: [215, Math.hypot(5.8, 3.9, 6.7)],
    dAlpha: [0, 1e-6 / Math.sqrt(3)],
    theta: [-0.1, 0.41],
    alpha: [11.5e-6, 2e-6 / Math.sqrt(3)],
    dTheta: [0, 0.05 / Math.sqrt(3)],
  } satisfies Record<string, [number, number]>
  const middle = Object.fromEntries(Object.entries(given).map(([input, [value]]) => [input, value]))
  within(t, length(middle) * 1e-6, 50.000838, 5e-10, 'length in mm')
  const { standardUncertainty, contributions } = single(propagated(given, (values) => ({ length: length(values) })))
  within(t, standardUncertainty, 31.664, 5e-4, 'nm')
  const shares = Object.fromEntries(contributions.map(({ input, share }) => [input, share]))
  t.equal(shares.theta, 0, 'no first-order effect while δα is zero')
  t.equal(shares.alpha, 0, 'no first-order effect while δθ is zero')
  near(t, shares.ls ?? NaN, (25 / 31.664) ** 2, 1e-4, 'share of the standard')
  t.end()
})

void t.test('D-GUM-04 sum of four standard normals (JCGM 101:2008, 9.2.2)', (t) => {
  const { standardUncertainty, contributions } = single(propagated({ a: [0, 1], b: [0, 1], c: [0, 1], d: [0, 1] }, sum))
  near(t, standardUncertainty, 2, 1e-12, 'u')
  near(t, 1.959963984540054 * standardUncertainty, 3.92, 1e-4, 'half a 95 % interval of a normal distribution')
  for (const { input, share } of contributions) near(t, share, 0.25, 1e-12, `share of ${input}`)
  t.end()
})

void t.test('D-GUM-05 sum of four rectangular distributions (JCGM 101:2008, 9.2.3)', (t) => {
  // A rectangle of half-width √3 has a standard deviation of 1; the law sees nothing but that.
  const u = Math.sqrt(3) / Math.sqrt(3)
  near(t, single(propagated({ a: [0, u], b: [0, u], c: [0, u], d: [0, u] }, sum)).standardUncertainty, 2, 1e-12, 'u')
  t.end()
})

const starSnr = ({ star = NaN, sky = NaN, read = NaN }: Record<string, number>) =>
  starSubBudget({
    starElectronsPerSecond: star,
    capturedFraction: 1,
    aperturePixels: 25,
    backgroundPixels: undefined,
    squaredShares: 0,
    rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: sky, darkElectronsPerPixelSecond: 0 },
    readout: { readNoiseElectrons: read, quantizationElectrons2: 0 },
    subSeconds: 180,
    calibration: {},
  }).snr
const STAR = { star: [1.8, 0.1], sky: [2.4, 0.05], read: [1.6, 0.15] } satisfies Record<string, [number, number]>

void t.test('D-GUM-07 uncertainty of a predicted ratio (computed; JCGM 100:2008)', (t) => {
  const { quantity, standardUncertainty, contributions } = single(
    propagated(STAR, (values) => ({ snr: starSnr(values) })),
  )
  t.equal(quantity, 'snr')
  near(t, starSnr({ star: 1.8, sky: 2.4, read: 1.6 }), 3.06315, 2e-6, 'the ratio')
  within(t, standardUncertainty, 0.17052, 5e-6, 'u')
  const parts = contributions.map(({ share }) => Math.sqrt(share) * standardUncertainty)
  within(t, parts[0] ?? NaN, 0.1677, 5e-5, 'part of the star')
  within(t, parts[1] ?? NaN, 0.0308, 5e-6, 'part of the sky')
  within(t, parts[2] ?? NaN, 0.00164, 5e-6, 'part of the read noise')
  t.end()
})

void t.test('D-GUM-07 by propagation of distributions (JCGM 101:2008, Monte Carlo)', (t) => {
  // A linear congruential generator (Knuth's MMIX constants, from memory) and Box & Muller 1958 make the draws.
  let state = 20240501n
  const uniform = () => {
    state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn
    return (Number(state >> 11n) + 0.5) / 2 ** 53
  }
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
  const draw = ([value, u]: [number, number]) => value + u * normal()
  const trials = 100000
  let total = 0
  let squares = 0
  for (let trial = 0; trial < trials; trial++) {
    const snr = starSnr({ star: draw(STAR.star), sky: draw(STAR.sky), read: draw(STAR.read) }) - 3.06315
    total += snr
    squares += snr * snr
  }
  const deviation = Math.sqrt(squares / trials - (total / trials) ** 2)
  const { standardUncertainty } = single(propagated(STAR, (values) => ({ snr: starSnr(values) })))
  // Four standard deviations of a standard deviation out of 100 000 draws are 0.9 %.
  near(t, deviation, standardUncertainty, 0.009, 'standard deviation of the draws')
  t.end()
})

void t.test('derivatives known in closed form', (t) => {
  const power = single(propagated({ x: [3, 0.02] }, ({ x = NaN }) => ({ y: x ** 2 })))
  near(t, power.standardUncertainty, 0.12, 1e-9, 'a parabola is exact in central differences')
  t.same(power.contributions, [{ input: 'x', share: 1 }])
  const falling = single(propagated({ x: [3, 0.02] }, ({ x = NaN }) => ({ y: 5 - 7 * x })))
  near(t, falling.standardUncertainty, 0.14, 1e-9, 'falling')
  const exact = single(propagated({ x: [1e6, 1e-9] }, ({ x = NaN }) => ({ y: x })))
  near(t, exact.standardUncertainty, 1e-9, 1e-9, 'far below the rounding of the value')
  const cubic = single(propagated({ x: [2, 0.3] }, ({ x = NaN }) => ({ y: x ** 3 })))
  near(t, cubic.standardUncertainty, 0.3 * (12 + 0.003 ** 2), 1e-9, 'the step is a hundredth of the uncertainty')
  t.end()
})

void t.test('the model is never asked across zero', (t) => {
  const vast = single(propagated({ x: [2, 300] }, ({ x = NaN }) => ({ y: x ** 3 })))
  near(t, vast.standardUncertainty, 300 * (12 + 1), 1e-12, 'half the value is the widest step')
  const negative = single(propagated({ x: [-2, 300] }, ({ x = NaN }) => ({ y: x ** 3 })))
  near(t, negative.standardUncertainty, 300 * (12 + 1), 1e-12, 'below zero as above')
  const zero = single(propagated({ x: [0, 5] }, ({ x = NaN }) => ({ y: Math.sqrt(x + 1) })))
  near(t, zero.standardUncertainty, ((Math.sqrt(1.05) - 1) / 0.05) * 5, 1e-12, 'from zero upwards')
  const asked: number[] = []
  for (const value of [0, 2]) {
    propagated({ x: [value, 1e6] }, ({ x = NaN }) => {
      asked.push(x)
      return { y: x }
    })
  }
  t.same(asked, [0, 1e4, 2, 3, 1])
  t.end()
})

void t.test('an effect past all numbers is left out', (t) => {
  const past = single(propagated({ x: [0, 1e200], z: [0, 3] }, ({ x = NaN, z = NaN }) => ({ y: x * 1e150 + z })))
  t.equal(past.contributions[0]?.share, 0)
  near(t, past.standardUncertainty, 3, 1e-12, 'what is left')
  t.end()
})

void t.test('each quantity has its own shares, in the order of the inputs', (t) => {
  const [first, second, still] = propagated({ a: [1, 3], b: [1, 4] }, ({ a = NaN, b = NaN }) => ({
    sum: a + b,
    second: 2 * b,
    still: 9,
  }))
  t.equal(first?.quantity, 'sum')
  near(t, first?.standardUncertainty ?? NaN, 5, 1e-9, 'u of the sum')
  near(t, first?.contributions[0]?.share ?? NaN, 0.36, 1e-9, 'a')
  near(t, first?.contributions[1]?.share ?? NaN, 0.64, 1e-9, 'b')
  near(t, second?.standardUncertainty ?? NaN, 8, 1e-9, 'u of the other')
  t.same(second?.contributions, [
    { input: 'a', share: 0 },
    { input: 'b', share: 1 },
  ])
  t.same(
    still,
    {
      quantity: 'still',
      standardUncertainty: 0,
      contributions: [
        { input: 'a', share: 0 },
        { input: 'b', share: 0 },
      ],
    },
    'what nothing moves has no uncertainty',
  )
  t.end()
})

void t.test('at a boundary of the model the other side serves', (t) => {
  const model =
    (allowed: (x: number) => boolean) =>
    ({ x = NaN }: Record<string, number>) =>
      allowed(x) ? { y: 5 * x } : null
  for (const [what, allowed] of [
    ['above', (x: number) => x >= 2],
    ['below', (x: number) => x <= 2],
  ] as const) {
    const { standardUncertainty } = single(propagated({ x: [2, 0.1] }, model(allowed)))
    near(t, standardUncertainty, 0.5, 1e-9, `only ${what}`)
  }
  const nowhere = single(
    propagated(
      { x: [2, 0.1] },
      model((x) => x === 2),
    ),
  )
  t.equal(nowhere.standardUncertainty, 0, 'refused on both sides')
  t.same(nowhere.contributions, [{ input: 'x', share: 0 }])
  t.end()
})

void t.test('a quantity that ends at the boundary is differenced on its own side, the others on both', (t) => {
  const [both, one] = propagated({ x: [2, 0.1] }, ({ x = NaN }) => ({ both: x, ...(x <= 2 && { one: 5 * x }) }))
  near(t, both?.standardUncertainty ?? NaN, 0.1, 1e-9, 'both sides')
  near(t, one?.standardUncertainty ?? NaN, 0.5, 1e-9, 'one side')
  t.end()
})

void t.test('a model without an answer has no uncertainty, and exact inputs are not varied', (t) => {
  t.same(
    propagated({ x: [1, 1] }, () => null),
    [],
  )
  const asked: (UncertainInput | null)[] = []
  const exact = propagate(
    (replaced) => {
      asked.push(replaced)
      return { y: 1 }
    },
    [
      { input: 'zero', value: 0, standardUncertainty: 0 },
      { input: 'three', value: 3, standardUncertainty: 0 },
    ],
  )
  t.same(asked, [null])
  t.equal(single(exact).standardUncertainty, 0)
  t.end()
})

void t.test('for linear models of any scale: the root of the sum of squares, and shares that add up to 1', (t) => {
  const input = fc.record({
    value: fc.oneof(fc.constant(0), logUniform(1e-6, 1e6)),
    standardUncertainty: logUniform(1e-6, 1e6),
    slope: fc.double({ min: -100, max: 100, noNaN: true }).filter((slope) => Math.abs(slope) > 0.01),
  })
  holds(
    fc.property(fc.array(input, { minLength: 1, maxLength: 5 }), (inputs) => {
      const model = (values: number[]) => values.reduce((y, value, index) => y + (inputs[index]?.slope ?? 0) * value, 0)
      const named = inputs.map((it, index) => ({ ...it, input: String(index) }))
      const { standardUncertainty, contributions } = single(
        propagate(
          (replaced, value) => ({
            y: model(named.map((it) => (it.input === replaced?.input ? value : it.value))),
          }),
          named,
        ),
      )
      const expected = Math.hypot(...inputs.map(({ slope, standardUncertainty: u }) => slope * u))
      const all = contributions.reduce((total, { share }) => total + share, 0)
      // Rounding of the largest term limits the difference that the smallest step makes.
      return Math.abs(standardUncertainty / expected - 1) < 1e-4 && Math.abs(all - 1) < 1e-12
    }),
    { seed: 203, numRuns: 300 },
  )
  t.pass('any scale')
  t.end()
})
