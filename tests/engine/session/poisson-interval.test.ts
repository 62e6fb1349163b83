import t from 'tap'
import { poissonInterval, POISSON_TAILS } from '../../../src/engine/index.ts'
import { near, refuses, within } from '../../support/near.ts'

// Garwood 1936, Biometrika 28, 437: both ends are quantiles of the gamma distribution. Computed with scipy 1.17.1
// (gammaincinv, gammainccinv) by poisson_interval_values.py beside this file.
const GARWOOD: Record<keyof typeof POISSON_TAILS, [count: number, from: number, to: number][]> = {
  'one-sigma': [
    [0, 0, 1.8410216450092631],
    [1, 0.17275377902344996, 3.299526559115855],
    [2, 0.7081854398189713, 4.637859623455245],
    [3, 1.367295313890434, 5.918185832883396],
    [5, 2.8403088555932205, 8.382472652146888],
    [10, 6.891305560638357, 14.266949761009391],
    [19, 14.679780625345044, 24.435196161481805],
    [20, 15.56555201778588, 25.54651922951146],
    [21, 16.454193000676653, 26.65518197118255],
    [100, 90.0167451771134, 111.03336094114967],
    [1000, 968.3825014065658, 1032.633323474849],
    [100000, 99683.77276110365, 100317.228820182],
    [10000000, 9996837.722392537, 10003163.277765578],
  ],
  'ninety-five-percent': [
    [0, 0, 3.6888794541139363],
    [1, 0.025317807984289876, 5.571643390938898],
    [2, 0.24220927854396496, 7.224687667723961],
    [3, 0.6186721228956014, 8.767273069742325],
    [5, 1.6234863901184207, 11.66833207932267],
    [10, 4.7953886961324335, 18.390356042017775],
    [19, 11.43924116436673, 29.6708535715856],
    [20, 12.216519585403944, 30.888377902674602],
    [21, 12.999330984076186, 32.100730734943404],
    [100, 81.36399125092314, 121.62679379242638],
    [1000, 938.9730184076952, 1063.952136016302],
    [100000, 99381.15266374472, 100621.74473974388],
    [10000000, 9993802.996884268, 10006199.897731498],
  ],
}

for (const level of ['one-sigma', 'ninety-five-percent'] as const) {
  void t.test(`Garwood’s interval at ${level} as quantiles of the gamma distribution (scipy 1.17.1)`, (t) => {
    for (const [count, from, to] of GARWOOD[level]) {
      const interval = poissonInterval({ count, level })
      if (count === 0) t.equal(interval.from, 0)
      else near(t, interval.from, from, 1e-9, `${count}, from`)
      near(t, interval.to, to, 1e-9, `${count}, to`)
    }
    t.end()
  })
}

void t.test('in closed form: nothing counted ends at −ln(tail), one begins at −ln(1 − tail)', (t) => {
  for (const level of ['one-sigma', 'ninety-five-percent'] as const) {
    const tail = POISSON_TAILS[level]
    near(t, poissonInterval({ count: 0, level }).to, -Math.log(tail), 1e-14, 'P(X = 0) is the tail')
    near(t, poissonInterval({ count: 1, level }).from, -Math.log1p(-tail), 1e-9, 'P(X ≥ 1) is the tail')
  }
  t.end()
})

void t.test('each end leaves its tail out, by the distribution summed up from nothing', (t) => {
  for (const count of [1, 2, 3, 7, 19, 20, 21, 60]) {
    const { from, to } = poissonInterval({ count, level: 'ninety-five-percent' })
    near(t, upTo(count, to), POISSON_TAILS['ninety-five-percent'], 1e-9, `P(X ≤ ${count}; to)`)
    near(t, 1 - upTo(count - 1, from), POISSON_TAILS['ninety-five-percent'], 1e-9, `P(X ≥ ${count}; from)`)
  }
  t.end()
})

function upTo(count: number, mean: number): number {
  let term = Math.exp(-mean)
  let sum = term
  for (let k = 1; k <= count; k++) sum += term *= mean / k
  return sum
}

void t.test('many counts go over into the normal distribution', (t) => {
  const { from, to } = poissonInterval({ count: 1e6, level: 'one-sigma' })
  within(t, to - 1e6, 1000 + 1, 0.6, 'above')
  within(t, 1e6 - from, 1000, 0.6, 'below')
  t.end()
})

void t.test('refuses what is no count', (t) => {
  refuses(t, () => poissonInterval({ count: -1, level: 'one-sigma' }), 'out-of-range', 'a negative count')
  refuses(t, () => poissonInterval({ count: 2e7, level: 'one-sigma' }), 'out-of-range', 'too many')
  t.end()
})
