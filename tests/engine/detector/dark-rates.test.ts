import t from 'tap'
import { darkRatesFromLevels, uncertaintiesGiven } from '../../../src/engine/detector/dark-rates.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('the rate is the slope over length, whatever the offset', (t) => {
  const levels = [-10, 5].flatMap((temperatureCelsius) =>
    [60, 120, 300].map((subSeconds) => ({
      temperatureCelsius,
      subSeconds,
      meanElectrons: 400 + (temperatureCelsius === 5 ? 0.2 : 0.05) * subSeconds,
    })),
  )
  const { rates, oneLengthCelsius } = darkRatesFromLevels(levels)
  t.same(oneLengthCelsius, [])
  t.same(
    rates.map(({ temperatureCelsius }) => temperatureCelsius),
    [-10, 5],
  )
  near(t, Number(rates[0]?.electronsPerPixelSecond), 0.05, 1e-12, '-10 °C')
  near(t, Number(rates[1]?.electronsPerPixelSecond), 0.2, 1e-12, '5 °C')
  t.notOk('standardUncertainty' in (rates[0] ?? {}), 'none given, none returned')
  t.end()
})

void t.test('levels weigh by their uncertainty, and the slope carries one', (t) => {
  const at = (subSeconds: number, meanElectrons: number, standardUncertainty: number) => ({
    temperatureCelsius: 0,
    subSeconds,
    meanElectrons,
    standardUncertainty,
  })
  const { rates } = darkRatesFromLevels([at(0, 100, 0.3), at(100, 110, 0.4)])
  near(t, Number(rates[0]?.electronsPerPixelSecond), 0.1, 1e-12, 'slope of two')
  near(t, Number(rates[0]?.standardUncertainty), 0.005, 1e-12, '√(0.3² + 0.4²)/100')
  const [pulled] = darkRatesFromLevels([at(0, 100, 0.1), at(100, 110, 0.1), at(100, 130, 1000)]).rates
  near(t, Number(pulled?.electronsPerPixelSecond), 0.1, 1e-6, 'an uncertain level hardly counts')
  t.end()
})

void t.test('temperatures with one length only are named and left out', (t) => {
  const { rates, oneLengthCelsius } = darkRatesFromLevels([
    { temperatureCelsius: -20, subSeconds: 60, meanElectrons: 100 },
    { temperatureCelsius: -20, subSeconds: 60, meanElectrons: 101 },
    { temperatureCelsius: 0, subSeconds: 60, meanElectrons: 103 },
    { temperatureCelsius: 0, subSeconds: 160, meanElectrons: 105 },
  ])
  t.same(oneLengthCelsius, [-20])
  t.match(rates, [{ temperatureCelsius: 0, electronsPerPixelSecond: 0.02 }])
  t.same(darkRatesFromLevels([]), { rates: [], oneLengthCelsius: [] })
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const level = { temperatureCelsius: 0, subSeconds: 60, meanElectrons: 100 }
  refuses(t, () => darkRatesFromLevels([{ ...level, subSeconds: -1 }]), 'out-of-range', 'length')
  refuses(t, () => darkRatesFromLevels([{ ...level, meanElectrons: NaN }]), 'out-of-range', 'level')
  refuses(t, () => darkRatesFromLevels([{ ...level, standardUncertainty: 0 }]), 'out-of-range', 'uncertainty')
  t.equal(uncertaintiesGiven([{}, {}]), false)
  t.equal(uncertaintiesGiven([{ standardUncertainty: 1 }]), true)
  refuses(t, () => uncertaintiesGiven([{ standardUncertainty: 1 }, {}]), 'out-of-range', 'some, but not all')
  t.end()
})
