// How the fitted numbers move when a rate does: the model that was chosen, refitted with the weights of the first fit.
// Outliers and glow are not judged again; that is the costly part, and a choice to be kept.

import {
  arrheniusDoublingCelsius,
  BOLTZMANN_ELECTRONVOLTS_PER_KELVIN,
  fitThermal,
  fitThermalAndConstant,
  sensorKelvin,
  type DarkCurrentFit,
  type DarkRate,
  type ThermalPoint,
} from '../../engine/index.ts'
import type { Quantities } from '../../setup/inquiry.ts'

/** The fitted numbers for rates that differ a little. */
export type Sensitivity = (rates: readonly DarkRate[]) => Quantities

/** Sensitivity of a fit; rates keep their order. */
export function sensitivityOf(rates: readonly DarkRate[], { form, referenceCelsius }: DarkCurrentFit): Sensitivity {
  const referenceKelvin = sensorKelvin('referenceCelsius', referenceCelsius)
  const weights = rates.map(({ electronsPerPixelSecond: rate, standardUncertainty = rate }) =>
    rate > 0 ? (rate / standardUncertainty) ** 2 : null,
  )
  const pointsOf = (varied: readonly DarkRate[]): ThermalPoint[] =>
    varied.flatMap(({ temperatureCelsius, electronsPerPixelSecond }, index) => {
      const weight = weights[index]
      if (weight === null || weight === undefined || electronsPerPixelSecond <= 0) return []
      const kelvin = sensorKelvin('temperatureCelsius', temperatureCelsius)
      const x = (1 / referenceKelvin - 1 / kelvin) / BOLTZMANN_ELECTRONVOLTS_PER_KELVIN.value
      return [{ x, y: Math.log(electronsPerPixelSecond), weight }]
    })
  const points = pointsOf(rates)
  const model = form === 'thermal' ? fitThermal(points) : fitThermalAndConstant(points)
  return (varied) => {
    const { lnReference, activationEnergyElectronVolts, lnConstant } = model.refit(pointsOf(varied))
    return {
      '/doublingCelsius/value': arrheniusDoublingCelsius({
        activationEnergyElectronVolts: activationEnergyElectronVolts.value,
        temperatureCelsius: referenceCelsius,
      }),
      '/activationEnergyElectronVolts/value': activationEnergyElectronVolts.value,
      '/electronsPerPixelSecond/value': Math.exp(lnReference.value),
      '/constantElectronsPerPixelSecond/value': lnConstant === null ? null : Math.exp(lnConstant.value),
    }
  }
}
