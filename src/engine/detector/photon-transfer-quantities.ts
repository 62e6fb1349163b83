// What photon transfer reports beside the gain, each figure with the uncertainty that gain, dark noise and saturation
// bring to it.

import { measuredFrom, measuredUnlessNull } from './measured-value.ts'
import { signalAdu } from './photon-transfer-levels.ts'
import { darkNoise, emvaDynamicRange, maximumSnr, sensitivityThresholdElectrons } from './photon-transfer-limits.ts'
import { linearity } from './photon-transfer-linearity.ts'
import {
  darkNonUniformityElectrons,
  photoResponseNonUniformityShare,
  spatialVarianceUncertainty,
} from './photon-transfer-uniformity.ts'
import type { MeasuredValue } from './measured-value.ts'
import type { PhotonTransferGain } from './photon-transfer-gain.ts'
import type { PhotonTransferLevel } from './photon-transfer-levels.ts'
import type { Linearity } from './photon-transfer-linearity.ts'
import type { Saturation } from './photon-transfer-saturation.ts'

/** What the figures hang on: gain, and variance of one dark frame in time. */
export interface CameraNoise {
  aduPerElectron: MeasuredValue
  darkVarianceAdu2: MeasuredValue
}

/** Pixels behind a level's statistics, as given or as the scatter about the gain line suggests. */
function pixelCountOf(level: PhotonTransferLevel, gain: PhotonTransferGain): number | null {
  return level.pixelCount ?? gain.effectivePixelCount
}

/**
 * Variance of the darks of a level, with the √(2/N) of itself by which a pair of N pixels scatters.
 *
 * @returns ADU²
 * @source Janesick 2007, Photon Transfer, SPIE PM170, ch. 6 (abstract): relative σ = √(2/N)
 */
export function darkVarianceOf(level: PhotonTransferLevel, gain: PhotonTransferGain): MeasuredValue {
  const pixelCount = pixelCountOf(level, gain)
  const value = level.darkTemporalVarianceAdu2
  return { value, standardUncertainty: pixelCount === null ? null : value * Math.sqrt(2 / pixelCount) }
}

export interface PhotonTransferReadNoise {
  /** Without the quantisation; null where rounding hides it, and then readNoiseBelowElectrons bounds it. */
  readNoiseElectrons: MeasuredValue | null
  readNoiseBelowElectrons: number | null
  /** What one frame shows, quantisation included: the figure that the noise models of this engine ask for. */
  readNoiseWithQuantizationElectrons: MeasuredValue
  /** Signal at which the temporal signal-to-noise ratio is 1. */
  sensitivityThresholdElectrons: MeasuredValue
}

/**
 * Read noise and threshold.
 *
 * @returns electrons
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eqs. 26, 27, 53, 54
 */
export function readNoiseOf(camera: CameraNoise): PhotonTransferReadNoise {
  const noise = (values: Record<keyof CameraNoise, number>) =>
    darkNoise({ darkTemporalVarianceAdu2: values.darkVarianceAdu2, electronsPerAdu: 1 / values.aduPerElectron })
  const inputs = { ...camera }
  return {
    readNoiseElectrons: measuredUnlessNull(inputs, (values) => noise(values).readNoiseElectrons),
    readNoiseBelowElectrons: noise({
      aduPerElectron: camera.aduPerElectron.value,
      darkVarianceAdu2: camera.darkVarianceAdu2.value,
    }).readNoiseBelowElectrons,
    readNoiseWithQuantizationElectrons: measuredFrom(inputs, (values) => noise(values).withQuantizationElectrons),
    sensitivityThresholdElectrons: measuredFrom(inputs, (values) => sensitivityThresholdElectrons(noiseModel(values))),
  }
}

/** Threshold and range depend on read noise and quantisation together, which is the dark variance whatever its split. */
function noiseModel(values: Record<keyof CameraNoise, number>) {
  return {
    readNoiseElectrons: Math.sqrt(values.darkVarianceAdu2) / values.aduPerElectron,
    quantizationElectrons2: 0,
  }
}

export interface SaturationQuantities {
  /** Saturation capacity; the converter usually clips first, so the full well is at least this. */
  fullWellElectrons: MeasuredValue
  maximumSnr: MeasuredValue
  dynamicRange: MeasuredValue
  dynamicRangeDecibels: MeasuredValue
  dynamicRangeBits: MeasuredValue
}

/**
 * What saturation brings.
 *
 * @returns electrons and ratios
 * @throws {EngineError} `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eq. 28
 */
export function saturationQuantitiesOf(saturation: Saturation, camera: CameraNoise): SaturationQuantities {
  const { signalAdu: value, standardUncertainty } = saturation
  const inputs = { ...camera, saturationAdu: { value, standardUncertainty } }
  type Values = Record<keyof typeof inputs, number>
  const electrons = (values: Values) => values.saturationAdu / values.aduPerElectron
  const range = (values: Values) => emvaDynamicRange({ ...noiseModel(values), saturationElectrons: electrons(values) })
  return {
    fullWellElectrons: measuredFrom(inputs, electrons),
    maximumSnr: measuredFrom(inputs, (values) => maximumSnr(electrons(values)).ratio),
    dynamicRange: measuredFrom(inputs, (values) => range(values).ratio),
    dynamicRangeDecibels: measuredFrom(inputs, (values) => range(values).decibels),
    dynamicRangeBits: measuredFrom(inputs, (values) => range(values).bits),
  }
}

export interface PhotonTransferResponse {
  aduPerPhoton: number
  /** Electrons per photon, as a fraction; its uncertainty leaves that of the light out. */
  quantumEfficiency: MeasuredValue
}

/**
 * Responsivity and quantum efficiency.
 *
 *     R = Σ μ_p (μ_y − μ_y.dark)/Σ μ_p²,   η = R/K
 *
 * @param levels  those of the gain
 * @returns null unless every level states its photons
 * @source EMVA 1288 Release 4.0 Linear, eq. 52
 */
export function photonResponseOf(
  levels: readonly PhotonTransferLevel[],
  aduPerElectron: MeasuredValue,
): PhotonTransferResponse | null {
  const points = levels.flatMap((level) =>
    level.photonsPerPixel === undefined ? [] : [{ photons: level.photonsPerPixel, signal: signalAdu(level) }],
  )
  if (points.length < levels.length) return null
  const products = points.reduce((sum, { photons, signal }) => sum + photons * signal, 0)
  const aduPerPhoton = products / points.reduce((sum, { photons }) => sum + photons ** 2, 0)
  return {
    aduPerPhoton,
    quantumEfficiency: measuredFrom({ aduPerElectron }, (values) => aduPerPhoton / values.aduPerElectron),
  }
}

/** Parts of the saturation level between which the standard judges linearity, and where it takes the PRNU. */
const LINEARITY = { from: 0.05, to: 0.95 }
const UNIFORMITY_AT = 0.5

/**
 * Linearity over 5 to 95 % of saturation, or over all levels above the dark where it isn't reached.
 *
 * @param saturatesAtAdu  level above the dark; Infinity where it isn't reached
 * @returns null with fewer than three levels, or unless all of them state photons, or all exposures
 * @source EMVA 1288 Release 4.0 Linear, eqs. 58 to 63
 */
export function linearityOf(
  levels: readonly PhotonTransferLevel[],
  saturatesAtAdu: number,
  gain: PhotonTransferGain,
): Linearity | null {
  const from = saturatesAtAdu === Infinity ? 0 : LINEARITY.from * saturatesAtAdu
  const within = levels.filter(
    (level) => signalAdu(level) > 0 && signalAdu(level) >= from && signalAdu(level) <= LINEARITY.to * saturatesAtAdu,
  )
  const hasPhotons = within.every(({ photonsPerPixel }) => photonsPerPixel !== undefined)
  const points = within.flatMap((level) => {
    const exposure = hasPhotons ? level.photonsPerPixel : level.exposureSeconds
    if (exposure === undefined) return []
    return [{ exposure, signalAdu: signalAdu(level), relativeUncertainty: relativeUncertaintyOf(level, gain) }]
  })
  return points.length < Math.max(within.length, 3) ? null : linearity(points)
}

function relativeUncertaintyOf(level: PhotonTransferLevel, gain: PhotonTransferGain): number | null {
  const pixelCount = pixelCountOf(level, gain)
  if (pixelCount === null) return null
  const variance = level.temporalVarianceAdu2 + level.darkTemporalVarianceAdu2
  return Math.sqrt(variance / (2 * pixelCount)) / signalAdu(level)
}

export interface PhotonTransferUniformity {
  /** Level above the dark that it was measured at. */
  atSignalAdu: number
  /** DSNU; null where the spatial variance came out negative, so that noise hides it. */
  darkNonUniformityElectrons: MeasuredValue | null
  /** PRNU as a fraction of the signal; null likewise. */
  photoResponseNonUniformityShare: MeasuredValue | null
}

/**
 * DSNU and PRNU from the level nearest to half of saturation, or from the brightest where it isn't reached.
 *
 * @param levels  from dark to bright
 * @param saturatesAtAdu  level above the dark; Infinity where it isn't reached
 * @returns null unless a level above its dark states both spatial variances
 * @source EMVA 1288 Release 4.0 Linear, eqs. 66 and 67
 */
export function uniformityOf(
  levels: readonly PhotonTransferLevel[],
  saturatesAtAdu: number,
  gain: PhotonTransferGain,
): PhotonTransferUniformity | null {
  const candidates = levels.flatMap((level) => spatialLevel(level, gain))
  const [first, ...others] = candidates
  if (first === undefined) return null
  const at = others.reduce((best, one) => {
    const middle = (best.signal + one.signal) / 2
    return middle < UNIFORMITY_AT * saturatesAtAdu ? one : best
  }, first)
  const { aduPerElectron } = gain.throughOrigin
  return {
    atSignalAdu: at.signal,
    darkNonUniformityElectrons: measuredUnlessNull({ aduPerElectron, dark: at.dark }, (values) =>
      darkNonUniformityElectrons({ darkSpatialVarianceAdu2: values.dark, electronsPerAdu: 1 / values.aduPerElectron }),
    ),
    photoResponseNonUniformityShare: measuredUnlessNull({ bright: at.bright, dark: at.dark }, (values) =>
      photoResponseNonUniformityShare({
        spatialVarianceAdu2: values.bright,
        darkSpatialVarianceAdu2: values.dark,
        signalAdu: at.signal,
      }),
    ),
  }
}

function spatialLevel(
  level: PhotonTransferLevel,
  gain: PhotonTransferGain,
): { signal: number; bright: MeasuredValue; dark: MeasuredValue }[] {
  const { spatialVarianceAdu2, darkSpatialVarianceAdu2 } = level
  const signal = signalAdu(level)
  if (spatialVarianceAdu2 === undefined || darkSpatialVarianceAdu2 === undefined || signal <= 0) return []
  const pixelCount = pixelCountOf(level, gain)
  const measured = (spatial: number, temporalVarianceAdu2: number): MeasuredValue => ({
    value: spatial,
    standardUncertainty:
      pixelCount === null
        ? null
        : spatialVarianceUncertainty({ spatialVarianceAdu2: spatial, temporalVarianceAdu2, pixelCount }),
  })
  return [
    {
      signal,
      bright: measured(spatialVarianceAdu2, level.temporalVarianceAdu2),
      dark: measured(darkSpatialVarianceAdu2, level.darkTemporalVarianceAdu2),
    },
  ]
}
