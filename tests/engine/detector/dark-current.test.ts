import fc from 'fast-check'
import t from 'tap'
import {
  darkCurrentElectronsPerPixelSecond,
  temperatureOfDarkCurrent,
} from '../../../src/engine/detector/dark-current.ts'
import { depletionDoublingCelsius, depletionRatio } from '../../../src/engine/detector/dark-current-forms.ts'
import { near, refuses, within } from '../../support/near.ts'

const REFERENCE = { electronsPerPixelSecond: 0.0022, atCelsius: 0 }

void t.test('a doubling step chooses the doubling law, none the depletion form; both say how far they stretch', (t) => {
  const doubling = darkCurrentElectronsPerPixelSecond({
    reference: REFERENCE,
    temperatureCelsius: -12,
    doublingCelsius: 6,
  })
  t.same(doubling, {
    electronsPerPixelSecond: 0.0022 / 4,
    form: 'doubling',
    stretchCelsius: -12,
    localDoublingCelsius: 6,
  })
  const depletion = darkCurrentElectronsPerPixelSecond({ reference: REFERENCE, temperatureCelsius: 15 })
  t.equal(depletion.form, 'depletion')
  t.equal(depletion.stretchCelsius, 15)
  t.equal(depletion.localDoublingCelsius, depletionDoublingCelsius(15))
  near(
    t,
    depletion.electronsPerPixelSecond,
    0.0022 * depletionRatio({ temperatureCelsius: 15, referenceCelsius: 0 }),
    1e-15,
    'normalised at the reference',
  )
  t.end()
})

void t.test('D-DC-16 a constant step of the value at 25 °C predicts 1.870 times too much at -20 °C (computed)', (t) => {
  const reference = { electronsPerPixelSecond: 1, atCelsius: 25 }
  const cold = { reference, temperatureCelsius: -20 }
  const physical = darkCurrentElectronsPerPixelSecond(cold).electronsPerPixelSecond
  const constant = darkCurrentElectronsPerPixelSecond({ ...cold, doublingCelsius: depletionDoublingCelsius(25) })
  near(t, 1 / physical, 77.443, 1e-5, 'D(25)/D(-20), depletion form')
  near(t, 1 / constant.electronsPerPixelSecond, 41.417, 1e-5, 'with the constant step')
  within(t, constant.electronsPerPixelSecond / physical, 1.87, 5e-4, 'factor')
  t.end()
})

void t.test('references outside 0 to 1e6 are refused', (t) => {
  for (const electronsPerPixelSecond of [-1, 2e6, NaN]) {
    const reference = { electronsPerPixelSecond, atCelsius: 0 }
    refuses(t, () => darkCurrentElectronsPerPixelSecond({ reference, temperatureCelsius: 0 }), 'out-of-range', 'rate')
  }
  t.end()
})

void t.test('the temperature of a dark current is the inverse of both forms', (t) => {
  t.equal(
    temperatureOfDarkCurrent({ reference: REFERENCE, doublingCelsius: 6, electronsPerPixelSecond: 0.0044 })?.toFixed(9),
    '6.000000000',
  )
  fc.assert(
    fc.property(
      fc.double({ min: -149, max: 99, noNaN: true }),
      fc.option(fc.double({ min: 2, max: 20, noNaN: true }), { nil: undefined }),
      (temperatureCelsius, doublingCelsius) => {
        const law = { reference: REFERENCE, ...(doublingCelsius === undefined ? {} : { doublingCelsius }) }
        const { electronsPerPixelSecond } = darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius })
        const back = temperatureOfDarkCurrent({ ...law, electronsPerPixelSecond })
        return back !== null && Math.abs(back - temperatureCelsius) < 1e-8
      },
    ),
    { numRuns: 300, seed: 3 },
  )
  t.end()
})

void t.test('a dark current that no temperature gives has no temperature', (t) => {
  t.equal(temperatureOfDarkCurrent({ reference: REFERENCE, electronsPerPixelSecond: 0 }), null, 'below all')
  t.equal(temperatureOfDarkCurrent({ reference: REFERENCE, electronsPerPixelSecond: 1e9 }), null, 'above all')
  const dark = { electronsPerPixelSecond: 0, atCelsius: 0 }
  t.equal(temperatureOfDarkCurrent({ reference: dark, electronsPerPixelSecond: 1 }), null, 'no dark current at all')
  refuses(
    t,
    () => temperatureOfDarkCurrent({ reference: REFERENCE, electronsPerPixelSecond: -1 }),
    'out-of-range',
    'negative',
  )
  t.end()
})

void t.test('a warmer sensor never has less dark current', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: -150, max: 99, noNaN: true }),
      fc.double({ min: 0.01, max: 1, noNaN: true }),
      (temperatureCelsius, warmer) => {
        const at = (celsius: number) =>
          darkCurrentElectronsPerPixelSecond({ reference: REFERENCE, temperatureCelsius: celsius })
        return at(temperatureCelsius + warmer).electronsPerPixelSecond > at(temperatureCelsius).electronsPerPixelSecond
      },
    ),
    { numRuns: 300, seed: 4 },
  )
  t.end()
})
