// From a plain request and its uncertainties to a fit of dark current over temperature.

import { ProblemError } from '../../contract/problem.ts'
import { EngineError, fitDarkCurrent, type DarkCurrentFit, type MeasuredValue } from '../../engine/index.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import type { GivenUncertainties } from './given.ts'
import { resolveRates, type PlacedRates } from './rates.ts'
import type { Request } from './request.ts'
import { sensitivityOf, type Sensitivity } from './sensitivity.ts'

export interface Solution {
  fit: DarkCurrentFit
  rates: {
    pointers: string[]
    celsius: number
    electronsPerPixelSecond: number
    fittedElectronsPerPixelSecond: number
    standardizedResidual: number | null
    isOutlier: boolean
  }[]
  leftOut: PlacedRates['leftOut']
  /** How the fit moves when a rate does. */
  sensitivity: Sensitivity
  darkCurrent: { electronsPerPixelSecond: MeasuredValue; atCelsius: number; doublingCelsius: MeasuredValue }
}

/** The fit of a request, with its defaults in the notes. */
export function solve(request: Request, given: GivenUncertainties, notes: Notes): Solution {
  try {
    return solved(request, given, notes)
  } catch (error) {
    // Temperatures or lengths that differ by less than arithmetic can tell: the refusal of the line names no field.
    if (!(error instanceof EngineError) || error.details.field !== undefined) throw error
    throw new EngineError(error.code, error.message, { ...error.details, field: 'rates' })
  }
}

function solved(request: Request, given: GivenUncertainties, notes: Notes): Solution {
  const placed = resolveRates(request, given, notes)
  notes.settle()
  refuseOneTemperature(placed)
  const referenceCelsius = request.referenceCelsius ?? middleOf(placed, notes)
  const fit = fitDarkCurrent({ rates: placed.rates, referenceCelsius })
  notes.cite(
    'Widenhorn et al. 2002, Proc. SPIE 4669, 193: temperature dependence of dark current',
    'EMVA 1288 Release 4.0 Linear: dark current from the level over exposure time',
    'JCGM 100:2008 (GUM): uncertainties of the fit',
    'Cook & Weisberg 1982, Residuals and Influence in Regression (from memory): outliers',
  )
  const isPositive = (rate: { electronsPerPixelSecond: number }) => rate.electronsPerPixelSecond > 0
  // The fit keeps the order of the rates that have a logarithm.
  const fitted = placed.rates.filter(isPositive)
  return {
    fit,
    rates: fit.rates.map((rate, index) => ({
      pointers: fitted[index]?.pointers ?? [],
      celsius: rate.temperatureCelsius,
      electronsPerPixelSecond: rate.electronsPerPixelSecond,
      fittedElectronsPerPixelSecond: rate.fittedElectronsPerPixelSecond,
      standardizedResidual: rate.standardizedResidual,
      isOutlier: rate.isOutlier,
    })),
    leftOut: [
      ...placed.leftOut,
      ...placed.rates
        .filter((rate) => !isPositive(rate))
        .map(({ pointers, temperatureCelsius }) => ({
          pointers,
          celsius: temperatureCelsius,
          reason: 'the rate is not above 0, and the fit is one of logarithms',
        })),
    ],
    sensitivity: sensitivityOf(placed.rates, fit),
    darkCurrent: {
      electronsPerPixelSecond: withGain(fit.electronsPerPixelSecond, request, given),
      atCelsius: referenceCelsius,
      doublingCelsius: fit.doublingCelsius,
    },
  }
}

/** Where single lengths are all there is, the offset is what is missing. */
function refuseOneTemperature({ rates, leftOut }: PlacedRates): void {
  const temperatures = new Set(rates.map(({ temperatureCelsius }) => temperatureCelsius))
  if (temperatures.size >= 2 || leftOut.length === 0) return
  throw new ProblemError('no-answer', 'Too few temperatures have darks of two lengths.', [
    {
      pointer: '/camera/offsetAdu',
      message: 'missing: with one length at a temperature, offset and dark current cannot be told apart',
    },
  ])
}

function middleOf({ rates }: PlacedRates, notes: Notes): number {
  const temperatures = rates.map(({ temperatureCelsius }) => temperatureCelsius)
  // Adding 0 turns -0 into 0.
  const middle = Math.round((Math.min(...temperatures) + Math.max(...temperatures)) / 2) + 0
  return notes.assume('/referenceCelsius', middle, 'not given: the middle of the temperatures measured')
}

/** A gain's error is common to all rates, so it widens the dark current only. */
function withGain(rate: MeasuredValue, { darks, camera }: Request, given: GivenUncertainties): MeasuredValue {
  const gain = camera?.electronsPerAdu
  if (rate.standardUncertainty === null || gain === undefined || !darks?.some(({ meanAdu }) => meanAdu !== undefined)) {
    return rate
  }
  const fromGain = (rate.value * given.electronsPerAdu) / gain
  return { value: rate.value, standardUncertainty: Math.hypot(rate.standardUncertainty, fromGain) }
}

/** The headline numbers, with weights, form and reference kept. */
export function quantities(request: Request, given: GivenUncertainties, base: Solution): Quantities {
  return base.sensitivity(resolveRates(request, given, new Notes()).rates)
}
