// Dark current beside the sky over temperature and length of sub: both forms side by side, and what the dark current
// takes of the noise of one sub.

import { darkCurrentElectronsPerPixelSecond } from './dark-current.ts'
import { depletionDoublingCelsius } from './dark-current-forms.ts'
import { requireInRange } from '../errors.ts'
import type { DarkCurrentAtTemperature, DarkCurrentLaw } from './dark-current.ts'

export interface DarkTableCell {
  subSeconds: number
  /** Electrons that the dark current leaves in a pixel of one sub. */
  darkElectrons: number
  /** Share of dark current in the variance of one sub: D t/((S + D) t + R²). */
  noiseShare: number
  /** By how much the dark current raises the noise (RMS) of one sub over that without it; null without other noise. */
  noiseExcessShare: number | null
}

export interface DarkTableRow extends DarkCurrentAtTemperature {
  celsius: number
  /** Both forms, from the same reference; the one used is repeated in electronsPerPixelSecond. */
  depletionElectronsPerPixelSecond: number
  doublingElectronsPerPixelSecond: number
  /** Dark noise over sky noise, RMS: √(D/S), whatever the length; null without sky. */
  darkToSkyNoise: number | null
  cells: DarkTableCell[]
}

export interface DarkTable {
  rows: DarkTableRow[]
  /** Step of the doubling column: the one given, or that of the depletion form at the reference. */
  doublingCelsius: number
}

/**
 * Dark current over temperature and length of sub.
 *
 * @param input.law  reference, and doubling step where one was measured
 * @param input.temperaturesCelsius  −150 to 100, in the order the rows shall have
 * @param input.subLengthsSeconds  each 1e-6 to 1e6, in the order of the cells; may be empty
 * @param input.skyElectronsPerPixelSecond  S, 0 to 1e9
 * @param input.readNoiseElectrons  R, 0 to 1e6, RMS
 * @returns a row per temperature, a cell per length
 * @throws {EngineError} `out-of-range`
 * @derived variances of independent electrons add; laws as in darkCurrentElectronsPerPixelSecond
 */
export function darkCurrentTable(input: {
  law: DarkCurrentLaw
  temperaturesCelsius: readonly number[]
  subLengthsSeconds: readonly number[]
  skyElectronsPerPixelSecond: number
  readNoiseElectrons: number
}): DarkTable {
  const { law, skyElectronsPerPixelSecond: sky, readNoiseElectrons } = input
  requireInRange('skyElectronsPerPixelSecond', sky, 0, 1e9)
  requireInRange('readNoiseElectrons', readNoiseElectrons, 0, 1e6)
  for (const subSeconds of input.subLengthsSeconds) requireInRange('subLengthsSeconds', subSeconds, 1e-6, 1e6)
  const { reference } = law
  const doublingCelsius = law.doublingCelsius ?? depletionDoublingCelsius(reference.atCelsius)
  const rows = input.temperaturesCelsius.map((temperatureCelsius): DarkTableRow => {
    const used = darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius })
    const depletion = darkCurrentElectronsPerPixelSecond({ reference, temperatureCelsius })
    const doubling = darkCurrentElectronsPerPixelSecond({ reference, doublingCelsius, temperatureCelsius })
    const dark = used.electronsPerPixelSecond
    return {
      ...used,
      celsius: temperatureCelsius,
      depletionElectronsPerPixelSecond: depletion.electronsPerPixelSecond,
      doublingElectronsPerPixelSecond: doubling.electronsPerPixelSecond,
      darkToSkyNoise: sky > 0 ? Math.sqrt(dark / sky) : null,
      cells: input.subLengthsSeconds.map((subSeconds) => darkCell({ dark, sky, readNoiseElectrons, subSeconds })),
    }
  })
  return { rows, doublingCelsius }
}

function darkCell(input: { dark: number; sky: number; readNoiseElectrons: number; subSeconds: number }): DarkTableCell {
  const { dark, sky, readNoiseElectrons, subSeconds } = input
  const darkElectrons = dark * subSeconds
  const others = sky * subSeconds + readNoiseElectrons ** 2
  const all = others + darkElectrons
  return {
    subSeconds,
    darkElectrons,
    noiseShare: all > 0 ? darkElectrons / all : 0,
    noiseExcessShare: others > 0 ? Math.sqrt(all / others) - 1 : null,
  }
}
