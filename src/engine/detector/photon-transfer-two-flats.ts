// The shortest way to gain and read noise: two flats and two bias frames.

import { EngineError, requireInRange } from '../errors.ts'
import type { MeasuredValue } from './measured-value.ts'

export interface TwoFlatsTwoBiases {
  /** Mean levels of the four frames. */
  flatMeansAdu: readonly [number, number]
  biasMeansAdu: readonly [number, number]
  /** Standard deviations of the difference of the two flats and of the two biases; ≥ 0. */
  flatDifferenceAdu: number
  biasDifferenceAdu: number
  /** Pixels of a frame; without it there are no uncertainties. */
  pixelCount?: number
}

/**
 * Gain and read noise from two flats and two biases.
 *
 *     g = [(F₁ + F₂) − (B₁ + B₂)]/(s²_ΔF − s²_ΔB) e⁻/ADU;   R = g s_ΔB/√2
 *
 * A variance from N pixels is known to a relative √(2/N). The read noise holds the quantisation.
 *
 * @returns electrons per ADU, electrons
 * @throws {EngineError} `no-solution` where the flats are not brighter and noisier than the biases; `out-of-range`
 * @source Janesick 2001, Scientific CCDs, SPIE PM83 (from memory); Howell 2006, Handbook of CCD Astronomy, 4.3 (from memory)
 */
export function twoFlatsTwoBiases(frames: TwoFlatsTwoBiases): {
  electronsPerAdu: MeasuredValue
  readNoiseElectrons: MeasuredValue
} {
  const { flatMeansAdu, biasMeansAdu, flatDifferenceAdu, biasDifferenceAdu, pixelCount } = frames
  requireInRange('flatDifferenceAdu', flatDifferenceAdu, 0, 1e9)
  requireInRange('biasDifferenceAdu', biasDifferenceAdu, 0, 1e9)
  if (pixelCount !== undefined) requireInRange('pixelCount', pixelCount, 2)
  const signal = flatMeansAdu[0] + flatMeansAdu[1] - biasMeansAdu[0] - biasMeansAdu[1]
  const flatVariance = flatDifferenceAdu ** 2
  const biasVariance = biasDifferenceAdu ** 2
  const variance = flatVariance - biasVariance
  if (!(signal > 0 && variance > 0)) {
    throw new EngineError('no-solution', 'The flats must be brighter and noisier than the biases.', {
      facts: { signalAdu: signal / 2, varianceAdu2: variance / 2 },
    })
  }
  const gain = signal / variance
  const readNoise = (gain * biasDifferenceAdu) / Math.SQRT2
  // R = A s/(v_F − s²): the bias noise moves it through s and through the gain, with the same sign.
  const relative = pixelCount === undefined ? null : Math.sqrt(2 / pixelCount)
  const flatPart = flatVariance / variance
  const gainPart = Math.hypot(flatPart, biasVariance / variance)
  const readPart = Math.hypot(flatPart, 1 / 2 + biasVariance / variance)
  return {
    electronsPerAdu: { value: gain, standardUncertainty: relative === null ? null : gain * relative * gainPart },
    readNoiseElectrons: {
      value: readNoise,
      standardUncertainty: relative === null ? null : readNoise * relative * readPart,
    },
  }
}
