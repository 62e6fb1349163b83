// How many calibration frames. Every master adds its own error to each sub alike; over a stack that error counts N²/M
// times (M dither positions), so it is held against the stack's variance, not the sub's.

import { calibrationRepeats } from '../exposure/calibration-noise.ts'
import { stackSubVariance } from './calibration-stack.ts'
import { requireInRange } from '../errors.ts'
import type { CalibratedStack } from './calibration-stack.ts'

export interface CalibrationQuestion extends CalibratedStack {
  /** Level of one flat, electrons per pixel, 1 to 1e9. */
  flatElectrons: number
  /** Exposure of one flat, 1e-6 to 1e6. */
  flatSeconds: number
  /** Variance that calibration may add, as a share of the stack's own, 1e-6 to 10. */
  varianceShare: number
}

/** A number for each kind of calibration frame. */
export interface CalibrationShares {
  dark: number
  flat: number
  flatCalibration: number
}

export interface CalibrationPlan {
  darkFrames: number
  flatFrames: number
  /** Frames that take the offset off the flats: bias, or darks as long as the flats. */
  flatCalibrationFrames: number
  /** Dark-flats where the dark current left in the flats would by itself exceed the share. */
  flatCalibration: 'bias' | 'dark-flats'
  /** Variance added by each master over the stack's own. */
  varianceShares: CalibrationShares
  /** Their sum, at most the share asked for. */
  addedVarianceShare: number
  /** The same as noise (RMS): √(1 + added) − 1. */
  noiseExcessShare: number
}

/**
 * Number of darks, flats, and bias or dark-flats for a share of the stack's variance.
 *
 *     added = (N/(M V)) [(D t + R²)/n_dark + B²/(F n_flat) + B² (R² + D t_flat)/(F² n_bias)],  B = (O + S) t
 *
 * V is the variance of one sub. The share is split so that the frames are fewest in all: nᵢ ∝ √cᵢ for terms cᵢ/nᵢ, rounded
 * up, then lowered where the rounding left room. No count of the plan can be lowered by one alone.
 *
 * @returns whole counts, at least 1 each
 * @throws {EngineError} `out-of-range`
 * @source Newberry 1991, PASP 103, 122, for the noise of calibrated frames (from memory); the split is derived (Lagrange)
 */
export function calibrationPlan(question: CalibrationQuestion): CalibrationPlan {
  const { rates, flatElectrons, flatSeconds, varianceShare } = question
  requireInRange('flatElectrons', flatElectrons, 1, 1e9)
  requireInRange('flatSeconds', flatSeconds, 1e-6, 1e6)
  requireInRange('varianceShare', varianceShare, 1e-6, 10)
  const darkFlatShare =
    (errorWeight(question) * (rates.darkElectronsPerPixelSecond * flatSeconds) ** 2) / flatElectrons ** 2
  const flatCalibration = darkFlatShare > varianceShare ? 'dark-flats' : 'bias'
  const perFrame = sharesOfOneFrame(question, flatCalibration)
  const frames = fewestFrames(perFrame, varianceShare)
  const varianceShares = {
    dark: perFrame.dark / frames.dark,
    flat: perFrame.flat / frames.flat,
    flatCalibration: perFrame.flatCalibration / frames.flatCalibration,
  }
  const addedVarianceShare = varianceShares.dark + varianceShares.flat + varianceShares.flatCalibration
  return {
    darkFrames: frames.dark,
    flatFrames: frames.flat,
    flatCalibrationFrames: frames.flatCalibration,
    flatCalibration,
    varianceShares,
    addedVarianceShare,
    noiseExcessShare: Math.sqrt(1 + addedVarianceShare) - 1,
  }
}

/**
 * Noise factor of subtracting a master of n frames that carry the same noise as the light.
 *
 *     √(1 + 1/n)
 *
 * @param masterFrames  n, 1 or more
 * @returns 1 to √2
 * @throws {EngineError} `out-of-range`
 * @source JCGM 100:2008, 5.1.2: the variance of a mean of n is 1/n of one frame's, and it adds
 */
export function masterSubtractionNoiseFactor(masterFrames: number): number {
  requireInRange('masterFrames', masterFrames, 1)
  return Math.sqrt(1 + 1 / masterFrames)
}

/** Electrons of the sub that the flat divides, squared, over the stack's variance and with the repeats of the error. */
function errorWeight(question: CalibrationQuestion): number {
  const { rates, subSeconds } = question
  const flattened = (rates.targetElectronsPerPixelSecond + rates.skyElectronsPerPixelSecond) * subSeconds
  return flattened ** 2 * repeatsOverVariance(question)
}

function repeatsOverVariance(question: CalibrationQuestion): number {
  const { subCount, ditherPositions } = question
  return calibrationRepeats(subCount, { ditherPositions }) / (subCount * stackSubVariance(question))
}

/** Share of the stack's variance that each master would add if it were a single frame. */
function sharesOfOneFrame(question: CalibrationQuestion, kind: CalibrationPlan['flatCalibration']): CalibrationShares {
  const { rates, readout, subSeconds, flatElectrons, flatSeconds } = question
  const dark = rates.darkElectronsPerPixelSecond
  const read = readout.readNoiseElectrons ** 2 + readout.quantizationElectrons2
  const offsetFrame = read + (kind === 'dark-flats' ? dark * flatSeconds : 0)
  return {
    dark: (dark * subSeconds + read) * repeatsOverVariance(question),
    flat: errorWeight(question) / flatElectrons,
    flatCalibration: (errorWeight(question) * offsetFrame) / flatElectrons ** 2,
  }
}

function fewestFrames(perFrame: CalibrationShares, varianceShare: number): CalibrationShares {
  const { dark, flat, flatCalibration } = perFrame
  const roots = Math.sqrt(dark) + Math.sqrt(flat) + Math.sqrt(flatCalibration)
  const rounded = (share: number) => Math.max(1, Math.ceil((Math.sqrt(share) * roots) / varianceShare))
  const frames = { dark: rounded(dark), flat: rounded(flat), flatCalibration: rounded(flatCalibration) }
  // Rounding up left room: each count in turn goes down to what the other two leave of the share.
  const lowered = (count: number, share: number, others: number) =>
    varianceShare > others ? Math.min(count, Math.max(1, Math.ceil(share / (varianceShare - others)))) : count
  frames.dark = lowered(frames.dark, dark, flat / frames.flat + flatCalibration / frames.flatCalibration)
  frames.flat = lowered(frames.flat, flat, dark / frames.dark + flatCalibration / frames.flatCalibration)
  frames.flatCalibration = lowered(frames.flatCalibration, flatCalibration, dark / frames.dark + flat / frames.flat)
  return frames
}
