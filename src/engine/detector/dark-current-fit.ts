// A sensor's own doubling step and activation energy from dark rates at several temperatures: weighted least squares in
// ln(rate), with and without a rate that does not depend on temperature.

import { BOLTZMANN_ELECTRONVOLTS_PER_KELVIN } from '../constants.ts'
import { LARGEST_DARK_CURRENT } from './dark-current.ts'
import { arrheniusDoublingCelsius, sensorKelvin } from './dark-current-forms.ts'
import { judgementScale, uncertaintyScale } from './dark-fit-scale.ts'
import { markOutliers } from './dark-outliers.ts'
import { uncertaintiesGiven } from './dark-rates.ts'
import { fitThermal, fitThermalAndConstant } from './dark-thermal-model.ts'
import { EngineError, requireInRange } from '../errors.ts'
import { coverageFactor } from './student-t.ts'
import type { FittedRate, PlacedRate } from './dark-outliers.ts'
import type { DarkRate } from './dark-rates.ts'
import type { ThermalModel, ThermalParameter, ThermalPoint } from './dark-thermal-model.ts'
import type { MeasuredValue } from './measured-value.ts'

const BOLTZMANN = BOLTZMANN_ELECTRONVOLTS_PER_KELVIN.value

export interface DarkCurrentFit {
  referenceCelsius: number
  /** Whether a rate that does not fall with temperature (amplifier glow, light leak) was recognised and taken out. */
  form: 'thermal' | 'thermal-and-constant'
  /** Thermal rate at the reference. */
  electronsPerPixelSecond: MeasuredValue
  /** Rate that does not depend on temperature; null when none was recognised. */
  constantElectronsPerPixelSecond: MeasuredValue | null
  /** Local step at the reference, k T₀² ln 2/E. */
  doublingCelsius: MeasuredValue
  activationEnergyElectronVolts: MeasuredValue
  /** From those given, unscaled; from the scatter about the fit (scaled by reduced chi-square); or from nothing. */
  uncertaintyFrom: 'given' | 'scatter' | 'nothing'
  /** Factor for 68 % intervals: 1 with given uncertainties, Student's with scatter; null without uncertainty. */
  coverageFactor68: number | null
  /** Σ (residual/u)² of ln(rate); without uncertainties the plain sum of squares. */
  chiSquare: number
  degreesOfFreedom: number
  rates: FittedRate[]
  /** Rates that have no logarithm, and so took no part. */
  notPositive: DarkRate[]
  /** Null with fewer than four rates. */
  constantRateTest: ConstantRateTest | null
}

export interface ConstantRateTest {
  /** √(fall of chi-square by the constant/scale). */
  statistic: number
  /** A constant is recognised above this: 99 %, normal with given uncertainties, else Student's. */
  threshold: number
  isRecognised: boolean
}

/** Energies outside this are not a sensor's: the gap of silicon is 1.1 eV. */
const SENSOR_ENERGY = { minimum: 0.01, maximum: 5 }

/** The judgement of outliers fits all others again for each rate, so the work grows as the square. */
const MOST_RATES = 200

/** Rates needed before a constant is looked for: one more than the three parameters. */
const RATES_FOR_CONSTANT = 4

/**
 * Doubling step, activation energy and rate at a reference temperature.
 *
 *     ln D = ln D₀ + (E/k)(1/T₀ − 1/T)   [or of D + G, with a constant rate G, where the data ask for it]
 *
 * @param input.rates  at two or more temperatures, 200 at most; uncertainties for all or none. Rates known
 *   to worse than a fifth of their value bias a logarithmic fit.
 * @param input.referenceCelsius  −150 to 100
 * @returns parameters at the reference with standard uncertainties, goodness of fit, outliers
 * @throws {EngineError} `not-enough-data` below two temperatures with positive rates; `no-solution` when the rates do not
 *   measurably rise with temperature; `out-of-range`
 * @source Arrhenius' law; Widenhorn et al. 2002, Proc. SPIE 4669, 193, for its use on sensors; JCGM 100:2008, 5.1
 */
export function fitDarkCurrent(input: { rates: readonly DarkRate[]; referenceCelsius: number }): DarkCurrentFit {
  const { rates, referenceCelsius } = input
  requireInRange('rates.length', rates.length, 0, MOST_RATES)
  const given = uncertaintiesGiven(rates)
  for (const { electronsPerPixelSecond } of rates) {
    requireInRange('electronsPerPixelSecond', electronsPerPixelSecond, -LARGEST_DARK_CURRENT, LARGEST_DARK_CURRENT)
  }
  const positive = rates.filter(({ electronsPerPixelSecond }) => electronsPerPixelSecond > 0)
  requireTwoTemperatures(positive)
  const referenceKelvin = sensorKelvin('referenceCelsius', referenceCelsius)
  const placed = positive.map((rate) => ({ rate, point: thermalPoint(rate, referenceKelvin) }))
  const { model, constantRateTest } = chooseModel(placed, given)
  requireRise(model, given, positive)
  return {
    referenceCelsius,
    form: model.lnConstant === null ? 'thermal' : 'thermal-and-constant',
    ...parametersOf(model, given, referenceCelsius),
    chiSquare: model.chiSquare,
    degreesOfFreedom: model.degreesOfFreedom,
    rates: markOutliers({ rates: placed, model, given }),
    notPositive: rates.filter(({ electronsPerPixelSecond }) => electronsPerPixelSecond <= 0),
    constantRateTest,
  }
}

function requireTwoTemperatures(positive: readonly DarkRate[]): void {
  const temperatures = new Set(positive.map(({ temperatureCelsius }) => temperatureCelsius)).size
  if (temperatures >= 2) return
  throw new EngineError('not-enough-data', 'A fit needs positive dark rates at two or more temperatures.', {
    field: 'rates',
    facts: { temperaturesWithPositiveRates: temperatures },
  })
}

function thermalPoint(rate: DarkRate, referenceKelvin: number): ThermalPoint {
  const kelvin = sensorKelvin('temperatureCelsius', rate.temperatureCelsius)
  const { electronsPerPixelSecond, standardUncertainty = electronsPerPixelSecond } = rate
  return {
    x: (1 / referenceKelvin - 1 / kelvin) / BOLTZMANN,
    y: Math.log(electronsPerPixelSecond),
    weight: (electronsPerPixelSecond / standardUncertainty) ** 2,
  }
}

/**
 * The thermal model, unless a constant rate lowers chi-square by more than chance does in 99 of 100 fits. The test leaves
 * out what would be an outlier even beside a constant, since one bad rate widens the scatter that glow is judged by; that
 * leaves at least four, as fewer others would not have judged it.
 */
function chooseModel(
  placed: readonly PlacedRate[],
  given: boolean,
): { model: ThermalModel; constantRateTest: ConstantRateTest | null } {
  const points = placed.map(({ point }) => point)
  if (points.length < RATES_FOR_CONSTANT) return { model: fitThermal(points), constantRateTest: null }
  const withConstant = fitThermalAndConstant(points)
  const judged = markOutliers({ rates: placed, model: withConstant, given })
  const sound = points.filter((_, index) => judged[index]?.isOutlier === false)
  const constantRateTest = testConstantRate(sound, given)
  return { model: constantRateTest.isRecognised ? withConstant : fitThermal(points), constantRateTest }
}

function testConstantRate(points: readonly ThermalPoint[], given: boolean): ConstantRateTest {
  const thermal = fitThermal(points)
  const withConstant = fitThermalAndConstant(points)
  const scale = judgementScale({ model: withConstant, given })
  const statistic = Math.sqrt(Math.max(thermal.chiSquare - withConstant.chiSquare, 0) / scale)
  const degreesOfFreedom = given ? null : withConstant.degreesOfFreedom
  const threshold = coverageFactor({ level: 'ninety-nine-percent', degreesOfFreedom })
  return { statistic, threshold, isRecognised: statistic > threshold }
}

function requireRise(model: ThermalModel, given: boolean, positive: readonly DarkRate[]): void {
  const { value: energy, variance } = model.activationEnergyElectronVolts
  const standardUncertainty = Math.sqrt(variance * (uncertaintyScale({ model, given }) ?? 0))
  const least = coverageFactor({ level: 'ninety-nine-percent', degreesOfFreedom: null }) * standardUncertainty
  if (energy >= Math.max(least, SENSOR_ENERGY.minimum) && energy <= SENSOR_ENERGY.maximum) return
  const rates = positive.map(({ electronsPerPixelSecond }) => electronsPerPixelSecond)
  throw new EngineError(
    'no-solution',
    energy > SENSOR_ENERGY.maximum
      ? 'The rates rise more steeply with temperature than any sensor; they do not belong together.'
      : 'The rates do not measurably rise with temperature: a light leak or amplifier glow hides the dark current.',
    {
      field: 'rates',
      facts: {
        activationEnergyElectronVolts: energy,
        standardUncertainty,
        meanElectronsPerPixelSecond: rates.reduce((sum, rate) => sum + rate, 0) / rates.length,
      },
    },
  )
}

function parametersOf(
  model: ThermalModel,
  given: boolean,
  referenceCelsius: number,
): Pick<
  DarkCurrentFit,
  | 'electronsPerPixelSecond'
  | 'constantElectronsPerPixelSecond'
  | 'doublingCelsius'
  | 'activationEnergyElectronVolts'
  | 'uncertaintyFrom'
  | 'coverageFactor68'
> {
  const scale = uncertaintyScale({ model, given })
  const measured = (value: number, variance: number): MeasuredValue => ({
    value,
    standardUncertainty: scale === null ? null : Math.sqrt(variance * scale),
  })
  const energy = model.activationEnergyElectronVolts
  const doubling = arrheniusDoublingCelsius({
    activationEnergyElectronVolts: energy.value,
    temperatureCelsius: referenceCelsius,
  })
  const measuredFromLn = ({ value, variance }: ThermalParameter) =>
    measured(Math.exp(value), Math.exp(value) ** 2 * variance)
  return {
    electronsPerPixelSecond: measuredFromLn(model.lnReference),
    constantElectronsPerPixelSecond: model.lnConstant && measuredFromLn(model.lnConstant),
    doublingCelsius: measured(doubling, (doubling / energy.value) ** 2 * energy.variance),
    activationEnergyElectronVolts: measured(energy.value, energy.variance),
    uncertaintyFrom: given ? 'given' : scale === null ? 'nothing' : 'scatter',
    coverageFactor68:
      scale === null
        ? null
        : coverageFactor({
            level: 'one-sigma',
            degreesOfFreedom: given ? null : model.degreesOfFreedom,
          }),
  }
}
