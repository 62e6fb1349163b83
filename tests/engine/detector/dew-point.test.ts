import t from 'tap'
import { condensation, dewPointCelsius } from '../../../src/engine/detector/dew-point.ts'
import { refuses, within } from '../../support/near.ts'

const at = (temperatureCelsius: number, percent: number) =>
  dewPointCelsius({ temperatureCelsius, relativeHumidityShare: percent / 100 })

/** Air temperature, humidity in percent, dew point with the constants of Alduchov & Eskridge, and with WMO-No. 8's. */
const TABLE: readonly (readonly [number, number, number, number])[] = [
  [-10, 40, -21.065, -21.072],
  [-10, 60, -16.301, -16.305],
  [-10, 80, -12.795, -12.797],
  [-10, 95, -10.648, -10.649],
  [0, 40, -12.011, -12.018],
  [0, 60, -6.846, -6.85],
  [0, 80, -3.039, -3.04],
  [0, 95, -0.705, -0.706],
  [5, 40, -7.497, -7.505],
  [5, 60, -2.126, -2.13],
  [5, 80, 1.836, 1.834],
  [5, 95, 4.265, 4.265],
  [10, 40, -2.993, -3.001],
  [10, 60, 2.588, 2.584],
  [10, 80, 6.708, 6.706],
  [10, 95, 9.236, 9.235],
  [15, 40, 1.502, 1.495],
  [15, 60, 7.297, 7.292],
  [15, 80, 11.577, 11.575],
  [15, 95, 14.205, 14.205],
  [20, 40, 5.988, 5.98],
  [20, 60, 12, 11.995],
  [20, 80, 16.444, 16.442],
  [20, 95, 19.174, 19.174],
  [30, 40, 14.933, 14.925],
  [30, 60, 21.39, 21.385],
  [30, 80, 26.171, 26.169],
  [30, 95, 29.11, 29.11],
  [12, 100, 12, 12],
  [8, 99, 7.852, 7.852],
  [-5, 70, -9.626, -9.629],
]

void t.test('dew points (Alduchov & Eskridge 1996), and within 0.01 °C those of WMO-No. 8, annex 4.B', (t) => {
  for (const [celsius, percent, alduchovEskridge, wmo] of TABLE) {
    within(t, at(celsius, percent), alduchovEskridge, 5.1e-4, `${celsius} °C, ${percent} %`)
    within(t, at(celsius, percent), wmo, 0.01, `${celsius} °C, ${percent} %, the other constants`)
  }
  t.end()
})

void t.test('published dew points: humidity calculator (B. McNoldy, University of Miami)', (t) => {
  for (const [celsius, percent, published] of [
    [5, 10, -24.18],
    [5, 50, -4.57],
    [20, 10, -12.58],
    [20, 50, 9.26],
    [35, 50, 23.03],
  ] as const) {
    within(t, at(celsius, percent), published, 0.005, `${celsius} °C, ${percent} %`)
  }
  t.end()
})

void t.test('published dew points: saturation pressures of Ho, Slobin & Gritton, JPL 2005, p. 18', (t) => {
  for (const [celsius, percent, published] of [
    [20, 52.5, 10],
    [30, 55.08, 20],
    [15, 72.01, 10],
    [20, 72.91, 15],
    [10, 49.78, 0],
    [40, 57.51, 30],
  ] as const) {
    within(t, at(celsius, percent), published, 0.02, `${celsius} °C, ${percent} %`)
  }
  t.end()
})

void t.test('published dew points: a building-trade table, rounded to 0.1 °C', (t) => {
  for (const [celsius, percent, published] of [
    [20, 40, 6],
    [20, 50, 9.3],
    [20, 60, 12],
    [20, 70, 14.4],
    [20, 80, 16.5],
    [20, 90, 18.4],
    [10, 60, 2.5],
    [10, 80, 6.8],
    [15, 70, 9.6],
    [30, 50, 18.4],
    [30, 70, 23.9],
    [12, 90, 10.5],
  ] as const) {
    within(t, at(celsius, percent), published, 0.1, `${celsius} °C, ${percent} %`)
  }
  t.end()
})

void t.test('over water also below freezing: 10 °C and 30 % is -6.80, not the frost point -6.03 (WMO-No. 8)', (t) => {
  within(t, at(10, 30), -6.8, 0.005, 'dew point')
  t.end()
})

void t.test('at full humidity the dew point is the air temperature', (t) => {
  for (const celsius of [-40, -3, 0, 17, 50]) within(t, at(celsius, 100), celsius, 1e-12, `${celsius} °C`)
  t.end()
})

void t.test('air outside the range of the formula is refused', (t) => {
  refuses(t, () => at(-41, 50), 'out-of-range', 'too cold')
  refuses(t, () => at(51, 50), 'out-of-range', 'too warm')
  refuses(t, () => at(10, 0), 'out-of-range', 'no water')
  refuses(t, () => at(10, 101), 'out-of-range', 'too much water')
  t.end()
})

void t.test('the worst hour decides: nothing above the dew point, dew above freezing, else ice', (t) => {
  const air = [
    { temperatureCelsius: 15, relativeHumidityShare: 0.6 },
    { temperatureCelsius: 10, relativeHumidityShare: 0.95 },
    { temperatureCelsius: 5, relativeHumidityShare: 0.95 },
  ]
  const warm = condensation({ surfaceCelsius: 12, air })
  t.equal(warm.deposit, 'none')
  t.equal(warm.atIndex, 1)
  within(t, warm.dewPointCelsius, 9.236, 5e-4, 'highest dew point')
  within(t, warm.belowDewPointCelsius, 9.236 - 12, 5e-4, 'stays above')
  const cool = condensation({ surfaceCelsius: 3, air })
  t.equal(cool.deposit, 'dew')
  within(t, cool.belowDewPointCelsius, 6.236, 5e-4, 'below')
  t.equal(condensation({ surfaceCelsius: 0, air }).deposit, 'ice')
  t.equal(condensation({ surfaceCelsius: -10, air }).deposit, 'ice')
  const saturated = [{ temperatureCelsius: 8, relativeHumidityShare: 1 }]
  const { dewPointCelsius: dewPoint } = condensation({ surfaceCelsius: 20, air: saturated })
  t.equal(condensation({ surfaceCelsius: dewPoint, air: saturated }).deposit, 'none', 'just at the dew point')
  refuses(t, () => condensation({ surfaceCelsius: 0, air: [] }), 'out-of-range', 'no air')
  refuses(t, () => condensation({ surfaceCelsius: -151, air }), 'out-of-range', 'surface')
  t.end()
})
