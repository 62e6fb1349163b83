import fc from 'fast-check'
import t from 'tap'
import { fitDarkCurrent } from '../../../src/engine/detector/dark-current-fit.ts'
import { darkRatesFromLevels, type DarkRate } from '../../../src/engine/detector/dark-rates.ts'
import { EngineError } from '../../../src/engine/errors.ts'
import { near, refuses, within } from '../../support/near.ts'

const BOLTZMANN = 8.617333262e-5
const TEMPERATURES = [-20, -15, -10, -5, 0, 5, 10]

/** Arrhenius' law with 0.1 e⁻/s at 0 °C. */
function rateAt(celsius: number, energy = 0.63): number {
  return 0.1 * Math.exp((energy / BOLTZMANN) * (1 / 273.15 - 1 / (celsius + 273.15)))
}

function exactRates(constant = 0, relative?: number): DarkRate[] {
  return TEMPERATURES.map((temperatureCelsius) => {
    const electronsPerPixelSecond = rateAt(temperatureCelsius) + constant
    return {
      temperatureCelsius,
      electronsPerPixelSecond,
      ...(relative === undefined ? {} : { standardUncertainty: relative * electronsPerPixelSecond }),
    }
  })
}

/** The exact rates, one of them multiplied. */
function disturbed(index: number, factor: number, relative?: number): DarkRate[] {
  return exactRates(0, relative).map((rate, at) =>
    at === index ? { ...rate, electronsPerPixelSecond: rate.electronsPerPixelSecond * factor } : rate,
  )
}

void t.test('exact rates give energy, step and rate at the reference back', (t) => {
  const fit = fitDarkCurrent({ rates: exactRates(0, 0.02), referenceCelsius: 0 })
  t.match(fit, { referenceCelsius: 0, form: 'thermal', uncertaintyFrom: 'given', coverageFactor68: 1 })
  t.match(fit, { degreesOfFreedom: 5, constantElectronsPerPixelSecond: null, notPositive: [] })
  near(t, fit.activationEnergyElectronVolts.value, 0.63, 1e-10, 'energy')
  near(t, fit.electronsPerPixelSecond.value, 0.1, 1e-10, 'rate')
  near(t, fit.doublingCelsius.value, (BOLTZMANN * 273.15 ** 2 * Math.LN2) / 0.63, 1e-10, 'k T² ln 2/E')
  within(t, fit.chiSquare, 0, 1e-18, 'nothing left over')
  for (const rate of fit.rates) {
    near(t, rate.fittedElectronsPerPixelSecond, rate.electronsPerPixelSecond, 1e-10, 'fitted')
    t.equal(rate.isOutlier, false)
    within(t, Number(rate.standardizedResidual), 0, 1e-8, 'residual')
  }
  t.end()
})

void t.test('D-DC-15 0.0035 e-/s at -20 °C, 0.0125 e-/s at -8 °C: doubling every 6.53416 °C (computed)', (t) => {
  const rates = [
    { temperatureCelsius: -20, electronsPerPixelSecond: 0.0035 },
    { temperatureCelsius: -8, electronsPerPixelSecond: 0.0125 },
  ]
  // At the geometric mean of the two the local step of Arrhenius' law is the constant step between them.
  const referenceCelsius = Math.sqrt(253.15 * 265.15) - 273.15
  const fit = fitDarkCurrent({ rates, referenceCelsius })
  within(t, fit.doublingCelsius.value, 6.53416, 5e-6, 'step')
  near(t, fit.doublingCelsius.value, (12 * Math.LN2) / Math.log(125 / 35), 1e-12, 'ΔT ln 2/ln(D₂/D₁)')
  t.match(fit, {
    uncertaintyFrom: 'nothing',
    coverageFactor68: null,
    degreesOfFreedom: 0,
    constantRateTest: null,
    doublingCelsius: { standardUncertainty: null },
    activationEnergyElectronVolts: { standardUncertainty: null },
    electronsPerPixelSecond: { standardUncertainty: null },
  })
  t.match(fit.rates, [
    { standardizedResidual: null, isOutlier: false },
    { standardizedResidual: null, isOutlier: false },
  ])
  t.end()
})

void t.test('two rates with uncertainties: the energy carries both over the lever between them', (t) => {
  const rates = [-10, 10].map((temperatureCelsius) => ({
    temperatureCelsius,
    electronsPerPixelSecond: rateAt(temperatureCelsius),
    standardUncertainty: 0.03 * rateAt(temperatureCelsius),
  }))
  const fit = fitDarkCurrent({ rates, referenceCelsius: -10 })
  const lever = (1 / 263.15 - 1 / 283.15) / BOLTZMANN
  const energyUncertainty = (0.03 * Math.SQRT2) / lever
  near(t, Number(fit.activationEnergyElectronVolts.standardUncertainty), energyUncertainty, 1e-10, 'energy')
  near(t, Number(fit.electronsPerPixelSecond.standardUncertainty), 0.03 * rateAt(-10), 1e-10, 'the rate itself')
  const { value, standardUncertainty } = fit.doublingCelsius
  near(t, Number(standardUncertainty), (value * energyUncertainty) / 0.63, 1e-10, 'step, the same share of itself')
  t.match(fit.rates, [{ standardizedResidual: null }, { standardizedResidual: null }])
  t.end()
})

void t.test('without uncertainties the scatter about the line stands in: reduced chi-square, and its factor', (t) => {
  const wobble = [0.02, -0.01, -0.02, 0.01, 0.015, -0.02, 0.005]
  const rates = exactRates().map((rate, index) => ({
    ...rate,
    electronsPerPixelSecond: rate.electronsPerPixelSecond * Math.exp(wobble[index] ?? 0),
  }))
  const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
  t.match(fit, { uncertaintyFrom: 'scatter', degreesOfFreedom: 5, form: 'thermal' })
  near(t, Number(fit.coverageFactor68), 1.1105065783609567, 1e-9, "Student's t for ν = 5 (scipy)")
  // numpy: polyfit((1/273.15 - 1/T)/k, ln D, 1, cov=True) on the same numbers.
  near(t, fit.activationEnergyElectronVolts.value, 0.6285906867522312, 1e-12, 'energy')
  near(t, Number(fit.activationEnergyElectronVolts.standardUncertainty), 0.004194720917590737, 1e-10, 'its uncertainty')
  near(t, fit.chiSquare, 0.001613572660955342, 1e-10, 'sum of squares')
  t.end()
})

void t.test('with given uncertainties that are too small chi-square says so, and the errors stay as given', (t) => {
  const fit = fitDarkCurrent({ rates: disturbed(3, 1.1, 0.001), referenceCelsius: 0 })
  const asGiven = fitDarkCurrent({ rates: exactRates(0, 0.001), referenceCelsius: 0 })
  t.ok(fit.chiSquare / fit.degreesOfFreedom > 1000)
  const { standardUncertainty } = fit.activationEnergyElectronVolts
  near(
    t,
    Number(standardUncertainty),
    Number(asGiven.activationEnergyElectronVolts.standardUncertainty),
    0.02,
    'unscaled',
  )
  t.end()
})

void t.test('an outlier is named, with given uncertainties and with none, and no other', (t) => {
  for (const relative of [0.02, undefined]) {
    const fit = fitDarkCurrent({ rates: disturbed(4, 1.5, relative), referenceCelsius: 0 })
    t.same(
      fit.rates.filter(({ isOutlier }) => isOutlier).map(({ temperatureCelsius }) => temperatureCelsius),
      [0],
    )
    t.ok(Number(fit.rates[4]?.standardizedResidual) > 10)
    t.equal(fit.rates[4]?.electronsPerPixelSecond, 1.5 * rateAt(0), 'the rate is handed back as given')
  }
  t.end()
})

void t.test('the standardised residual is the distance to the line through the others', (t) => {
  const others = [-20, -20, 0, 0].map((temperatureCelsius) => ({
    temperatureCelsius,
    electronsPerPixelSecond: rateAt(temperatureCelsius),
    standardUncertainty: 0.02 * rateAt(temperatureCelsius),
  }))
  const middle = (1 / 273.15 + 1 / 253.15) / 2
  const celsius = 1 / middle - 273.15
  const between = { temperatureCelsius: celsius, electronsPerPixelSecond: 1.1 * rateAt(celsius) }
  const rates = [...others, { ...between, standardUncertainty: 0.02 * between.electronsPerPixelSecond }]
  const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
  // Half way between two pairs of variance s²/2 the line has s²/4; the point itself adds s².
  near(
    t,
    Number(fit.rates[4]?.standardizedResidual),
    Math.log(1.1) / (0.02 * Math.sqrt(1.25)),
    1e-9,
    'ln 1.1/(s √1.25)',
  )
  t.same(
    fit.rates.map(({ isOutlier }) => isOutlier),
    [false, false, false, false, true],
  )
  t.end()
})

void t.test('where leaving a rate out leaves one temperature, or nothing to judge by, it is not judged', (t) => {
  const rates = [0, 0, 0, 10].map((temperatureCelsius, index) => ({
    temperatureCelsius,
    electronsPerPixelSecond: rateAt(temperatureCelsius) * (1 + 0.001 * index),
    standardUncertainty: 0.01,
  }))
  const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
  t.equal(fit.rates[3]?.standardizedResidual, null)
  t.not(fit.rates[0]?.standardizedResidual, null)
  const three = fitDarkCurrent({ rates: disturbed(1, 1.5, 0.01).slice(0, 3), referenceCelsius: 0 })
  t.ok(three.chiSquare > 100, 'one of three is wrong')
  t.match(three.rates, [{ standardizedResidual: null }, { standardizedResidual: null }, { standardizedResidual: null }])
  t.end()
})

void t.test('a rate that does not fall with temperature is recognised and taken out', (t) => {
  for (const relative of [0.03, undefined]) {
    const fit = fitDarkCurrent({ rates: exactRates(0.03, relative), referenceCelsius: 0 })
    t.match(fit, { form: 'thermal-and-constant', degreesOfFreedom: 4, constantRateTest: { isRecognised: true } })
    near(t, Number(fit.constantElectronsPerPixelSecond?.value), 0.03, 1e-6, 'glow')
    near(t, fit.electronsPerPixelSecond.value, 0.1, 1e-6, 'thermal rate')
    near(t, fit.activationEnergyElectronVolts.value, 0.63, 1e-6, 'energy')
    t.notOk(fit.rates.some(({ isOutlier }) => isOutlier))
    t.ok(Number(fit.constantElectronsPerPixelSecond?.standardUncertainty) > 0)
  }
  t.end()
})

void t.test('with glow, the uncertainties are those of the three-parameter fit (numpy: inverse of JᵀJ)', (t) => {
  const fit = fitDarkCurrent({ rates: exactRates(0.03, 0.03), referenceCelsius: 0 })
  const { constantElectronsPerPixelSecond: glow, electronsPerPixelSecond: rate } = fit
  near(t, Number(fit.activationEnergyElectronVolts.standardUncertainty), 0.02950411627816787, 1e-6, 'energy')
  near(t, Number(rate.standardUncertainty), 0.003999005403774291, 1e-6, 'thermal rate')
  near(t, Number(glow?.standardUncertainty), 0.0024267683345341024, 1e-6, 'glow')
  t.end()
})

void t.test('an outlier beside glow is named too', (t) => {
  const rates = exactRates(0.03, 0.02).map((rate, index) =>
    index === 5 ? { ...rate, electronsPerPixelSecond: 1.4 * rate.electronsPerPixelSecond } : rate,
  )
  const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
  t.equal(fit.form, 'thermal-and-constant')
  t.same(
    fit.rates.filter(({ isOutlier }) => isOutlier).map(({ temperatureCelsius }) => temperatureCelsius),
    [5],
  )
  t.end()
})

void t.test('glow is not looked for below four rates, nor found where there is none', (t) => {
  const three = fitDarkCurrent({ rates: exactRates(0.03, 0.03).slice(0, 3), referenceCelsius: 0 })
  t.match(three, { constantRateTest: null, form: 'thermal' })
  const none = fitDarkCurrent({ rates: exactRates(0, 0.03), referenceCelsius: 0 })
  t.match(none, { form: 'thermal', constantRateTest: { isRecognised: false, threshold: 2.5758293035489004 } })
  const four = fitDarkCurrent({ rates: exactRates().slice(0, 4), referenceCelsius: 0 })
  near(t, Number(four.constantRateTest?.threshold), 63.65674116287158, 1e-9, "Student's t for ν = 1, 99 %")
  t.end()
})

void t.test('rates without a logarithm take no part and are named', (t) => {
  const cold = { temperatureCelsius: -40, electronsPerPixelSecond: -0.001 }
  const zero = { temperatureCelsius: -30, electronsPerPixelSecond: 0 }
  const fit = fitDarkCurrent({ rates: [cold, ...exactRates(), zero], referenceCelsius: 0 })
  t.same(fit.notPositive, [cold, zero])
  t.equal(fit.rates.length, TEMPERATURES.length)
  near(t, fit.activationEnergyElectronVolts.value, 0.63, 1e-10, 'energy')
  t.end()
})

void t.test('what cannot be fitted is refused with what is missing', (t) => {
  const [one] = exactRates()
  const refused = (rates: readonly DarkRate[], code: string, what: string) => {
    refuses(t, () => fitDarkCurrent({ rates, referenceCelsius: 0 }), code, what)
  }
  refused([], 'not-enough-data', 'nothing')
  refused(exactRates().slice(0, 1), 'not-enough-data', 'one temperature')
  refused(one ? [one, one, one] : [], 'not-enough-data', 'one temperature three times')
  refused(
    TEMPERATURES.map((temperatureCelsius) => ({ temperatureCelsius, electronsPerPixelSecond: -0.1 })),
    'not-enough-data',
    'no positive rate',
  )
  refused([{ temperatureCelsius: 0, electronsPerPixelSecond: 2e6 }], 'out-of-range', 'rate')
  refused(
    [-200, 0].map((temperatureCelsius) => ({ temperatureCelsius, electronsPerPixelSecond: 1 })),
    'out-of-range',
    'temperature',
  )
  refuses(t, () => fitDarkCurrent({ rates: exactRates(), referenceCelsius: 150 }), 'out-of-range', 'reference')
  t.end()
})

void t.test('rates that do not rise are a light leak, not dark current', (t) => {
  const leak = [0.101, 0.1, 0.102, 0.099, 0.1005].map((electronsPerPixelSecond, index) => ({
    temperatureCelsius: 5 * index,
    electronsPerPixelSecond,
  }))
  const caught = (rates: readonly DarkRate[]): EngineError => {
    try {
      fitDarkCurrent({ rates, referenceCelsius: 0 })
    } catch (error) {
      if (error instanceof EngineError) return error
    }
    return t.fail('was answered') as never
  }
  const level = caught(leak)
  t.equal(level.code, 'no-solution')
  t.match(level.message, /light leak or amplifier glow/)
  near(t, Number(level.details.facts?.meanElectronsPerPixelSecond), 0.1005, 1e-12, 'the level is said')
  const falling = [0, 10].map((temperatureCelsius) => ({
    temperatureCelsius,
    electronsPerPixelSecond: 1 - 0.01 * temperatureCelsius,
  }))
  t.match(caught(falling).message, /do not measurably rise/)
  const steep = [0, 1].map((temperatureCelsius) => ({
    temperatureCelsius,
    electronsPerPixelSecond: 10 ** (4 * temperatureCelsius - 2),
  }))
  t.match(caught(steep).message, /more steeply/)
  t.equal(caught(steep).code, 'no-solution')
  t.end()
})

void t.test('from levels of darks to the doubling step', (t) => {
  const levels = TEMPERATURES.flatMap((temperatureCelsius) =>
    [60, 300].map((subSeconds) => ({
      temperatureCelsius,
      subSeconds,
      meanElectrons: 250 + rateAt(temperatureCelsius) * subSeconds,
    })),
  )
  const { rates } = darkRatesFromLevels(levels)
  const fit = fitDarkCurrent({ rates, referenceCelsius: -10 })
  near(t, fit.activationEnergyElectronVolts.value, 0.63, 1e-8, 'energy')
  near(t, fit.electronsPerPixelSecond.value, rateAt(-10), 1e-8, 'rate at the reference')
  t.end()
})

void t.test('order does not matter, all figures are finite, and the reference only moves the point of view', (t) => {
  const number = fc.double({ min: 0.5, max: 2, noNaN: true })
  fc.assert(
    fc.property(fc.array(number, { minLength: 7, maxLength: 7 }), fc.boolean(), (factors, given) => {
      const rates = exactRates(0, given ? 0.1 : undefined).map((rate, index) => ({
        ...rate,
        electronsPerPixelSecond: rate.electronsPerPixelSecond * (factors[index] ?? 1),
      }))
      const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
      const back = fitDarkCurrent({ rates: [...rates].reverse(), referenceCelsius: -20 })
      const numbers = JSON.stringify(fit)
      const energy = fit.activationEnergyElectronVolts.value
      return (
        !numbers.includes('Infinity') &&
        Number.isFinite(energy + Number(fit.activationEnergyElectronVolts.standardUncertainty)) &&
        (fit.form !== back.form || Math.abs(energy / back.activationEnergyElectronVolts.value - 1) < 1e-4)
      )
    }),
    { numRuns: 100, seed: 8 },
  )
  t.end()
})
