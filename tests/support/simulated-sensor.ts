// A sensor from first principles, with every figure known: Poisson electrons of light and dark current through pixels
// that differ, a well that fills, Gaussian read noise, and a converter that rounds and clips.

import type { Random } from './random.ts'

export interface SensorTruth {
  pixelCount: number
  electronsPerAdu: number
  /** RMS of one read, before the converter rounds. */
  readNoiseElectrons: number
  fullWellElectrons: number
  offsetAdu: number
  bitDepth: number
  /** Spread of the pixels' response as a fraction, and of their offset in electrons; both normal. */
  photoResponseNonUniformityShare: number
  darkNonUniformityElectrons: number
  /** Of an ordinary pixel at the reference. */
  darkElectronsPerPixelSecond: number
  atCelsius: number
  activationEnergyElectronVolts: number
  /** Share of the pixels that are hot, and how much more dark current they have. */
  hotPixelShare: number
  hotPixelFactor: number
}

export interface SimulatedSensor {
  /** Mean over the pixels, at the reference. */
  meanDarkElectronsPerPixelSecond: number
  frame: (exposure: { lightElectrons: number; seconds: number; celsius: number }) => Uint16Array
}

const BOLTZMANN = 8.617333262e-5

/** A sensor with pixels drawn once; each frame draws its own noise. */
export function simulatedSensor(truth: SensorTruth, random: Random): SimulatedSensor {
  const { pixelCount } = truth
  const response = Float64Array.from({ length: pixelCount }, () =>
    random.normal(1, truth.photoResponseNonUniformityShare),
  )
  const offset = Float64Array.from({ length: pixelCount }, () => random.normal(0, truth.darkNonUniformityElectrons))
  const dark = Float64Array.from({ length: pixelCount }, () =>
    random.uniform() < truth.hotPixelShare
      ? truth.darkElectronsPerPixelSecond * truth.hotPixelFactor
      : truth.darkElectronsPerPixelSecond,
  )
  const highest = 2 ** truth.bitDepth - 1
  return {
    meanDarkElectronsPerPixelSecond: dark.reduce((sum, rate) => sum + rate, 0) / pixelCount,
    frame: ({ lightElectrons, seconds, celsius }) => {
      const inverse = 1 / (truth.atCelsius + 273.15) - 1 / (celsius + 273.15)
      const warmth = Math.exp((truth.activationEnergyElectronVolts / BOLTZMANN) * inverse)
      return Uint16Array.from({ length: pixelCount }, (_, pixel) => {
        const mean = lightElectrons * (response[pixel] ?? 0) + (dark[pixel] ?? 0) * warmth * seconds
        const held = Math.min(random.poisson(mean), truth.fullWellElectrons)
        const read = held + (offset[pixel] ?? 0) + random.normal(0, truth.readNoiseElectrons)
        return Math.min(Math.max(Math.round(read / truth.electronsPerAdu + truth.offsetAdu), 0), highest)
      })
    },
  }
}
