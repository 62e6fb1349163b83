// Gain from the slope of temporal variance on mean. The standard's K is ADU per electron, and its line goes through the
// origin; with an intercept the slope differs by about a percent, so both are reported and named.

import { signalAdu } from './photon-transfer-levels.ts'
import { EngineError } from '../errors.ts'
import type { MeasuredValue } from './measured-value.ts'
import type { PhotonTransferLevel } from './photon-transfer-levels.ts'

export interface GainLine {
  /** Slope, the standard's K. */
  aduPerElectron: MeasuredValue
  /** 1/K. */
  electronsPerAdu: MeasuredValue
  /** 0 by construction for the line through the origin. */
  interceptAdu2: MeasuredValue
}

export interface PhotonTransferGain {
  /** EMVA 1288's line; the one that every other quantity uses. */
  throughOrigin: GainLine
  /** Null with fewer than two different levels, or when its slope isn't positive. */
  withIntercept: GainLine | null
  /** Standard uncertainties from the number of pixels, from the scatter about the line, or none. */
  uncertaintyFrom: 'pixel-counts' | 'scatter' | 'nothing'
  /** Behind the scatter; null when the uncertainty comes from pixel counts or there is none. */
  degreesOfFreedom: number | null
  /** Pixels of a frame: as given, or as the scatter about the line suggests; null without uncertainty. */
  effectivePixelCount: number | null
}

/**
 * Gain from levels below 70 % of saturation.
 *
 *     σ²_y − σ²_y.dark = K (μ_y − μ_y.dark)   [+ intercept]
 *
 * Unweighted, as in the standard. The uncertainty counts what each variance carries, √(2/N) of itself from a pair of N
 * pixels, and darks shared between levels once; without pixel counts 2/N is judged from the scatter about a
 * line weighted accordingly.
 *
 * @param levels  one or more, in any order
 * @returns both lines
 * @throws {EngineError} `no-solution` when variance doesn't rise with the mean
 * @source EMVA 1288 Release 4.0 Linear, eq. 50; uncertainty derived by JCGM 100:2008, 5.1.2
 */
export function photonTransferGain(levels: readonly PhotonTransferLevel[]): PhotonTransferGain {
  const origin = originTerms(levels)
  const slope = combine(origin)
  if (!(slope > 0)) {
    throw new EngineError('no-solution', 'The variance of the flats does not rise with their mean.', {
      field: 'levels',
      facts: { aduPerElectron: slope },
    })
  }
  const knowledge = noiseKnowledge(levels)
  const { effectivePixelCount } = knowledge
  return {
    throughOrigin: {
      ...gainOf(slope, uncertaintyOf(origin, effectivePixelCount)),
      interceptAdu2: { value: 0, standardUncertainty: 0 },
    },
    withIntercept: lineWithIntercept(levels, effectivePixelCount),
    ...knowledge,
  }
}

/** Least squares is linear in the variances: a level and the factor with which it enters. */
interface Term {
  level: PhotonTransferLevel
  coefficient: number
}

function originTerms(levels: readonly PhotonTransferLevel[]): Term[] {
  const squares = levels.reduce((sum, level) => sum + signalAdu(level) ** 2, 0)
  if (squares === 0) throw new EngineError('not-enough-data', 'No level differs from its dark.')
  return levels.map((level) => ({ level, coefficient: signalAdu(level) / squares }))
}

function lineWithIntercept(levels: readonly PhotonTransferLevel[], pixelCount: number | null): GainLine | null {
  const signals = levels.map(signalAdu)
  if (!signals.some((signal) => signal !== signals[0])) return null
  const mean = signals.reduce((sum, signal) => sum + signal, 0) / signals.length
  const spread = signals.reduce((sum, signal) => sum + (signal - mean) ** 2, 0)
  const slopes = levels.map((level) => ({ level, coefficient: (signalAdu(level) - mean) / spread }))
  const slope = combine(slopes)
  if (slope <= 0) return null
  const intercepts = slopes.map(({ level, coefficient }) => ({
    level,
    coefficient: 1 / levels.length - mean * coefficient,
  }))
  return {
    ...gainOf(slope, uncertaintyOf(slopes, pixelCount)),
    interceptAdu2: { value: combine(intercepts), standardUncertainty: uncertaintyOf(intercepts, pixelCount) },
  }
}

function gainOf(slope: number, standardUncertainty: number | null): Omit<GainLine, 'interceptAdu2'> {
  return {
    aduPerElectron: { value: slope, standardUncertainty },
    electronsPerAdu: {
      value: 1 / slope,
      standardUncertainty: standardUncertainty === null ? null : standardUncertainty / slope ** 2,
    },
  }
}

function excessVariance(level: PhotonTransferLevel): number {
  return level.temporalVarianceAdu2 - level.darkTemporalVarianceAdu2
}

function combine(terms: readonly Term[]): number {
  return terms.reduce((sum, { level, coefficient }) => sum + coefficient * excessVariance(level), 0)
}

/** A variance from N pixels scatters by √(2/N) of itself: N as given, or from the scatter about the line. */
function noiseKnowledge(
  levels: readonly PhotonTransferLevel[],
): Pick<PhotonTransferGain, 'uncertaintyFrom' | 'degreesOfFreedom' | 'effectivePixelCount'> {
  const counts = levels.flatMap(({ pixelCount }) => pixelCount ?? [])
  if (counts.length > 0) {
    return { uncertaintyFrom: 'pixel-counts', degreesOfFreedom: null, effectivePixelCount: Math.min(...counts) }
  }
  const degreesOfFreedom = levels.length - 1
  if (degreesOfFreedom === 0) return { uncertaintyFrom: 'nothing', degreesOfFreedom: null, effectivePixelCount: null }
  const relativeVariance = Math.max(weightedScatter(levels) / degreesOfFreedom, 2 / LARGEST_PIXEL_COUNT)
  return { uncertaintyFrom: 'scatter', degreesOfFreedom, effectivePixelCount: 2 / relativeVariance }
}

/** A line that fits to rounding would else claim endless pixels. */
const LARGEST_PIXEL_COUNT = 1e12

/** Chi-square about the line through the origin that weights each level by what its variances carry. */
function weightedScatter(levels: readonly PhotonTransferLevel[]): number {
  const points = levels.map((level) => ({
    x: signalAdu(level),
    y: excessVariance(level),
    weight: 1 / (level.temporalVarianceAdu2 ** 2 + level.darkTemporalVarianceAdu2 ** 2),
  }))
  const products = points.reduce((sum, { x, y, weight }) => sum + weight * x * y, 0)
  const slope = products / points.reduce((sum, { x, weight }) => sum + weight * x ** 2, 0)
  return points.reduce((sum, { x, y, weight }) => sum + weight * (y - slope * x) ** 2, 0)
}

function uncertaintyOf(terms: readonly Term[], effectivePixelCount: number | null): number | null {
  if (effectivePixelCount === null) return null
  let variance = 0
  const darks = new Map<string, Term & { pixelCount: number }>()
  for (const { level, coefficient } of terms) {
    const { darkMeanAdu, darkTemporalVarianceAdu2, temporalVarianceAdu2, pixelCount = effectivePixelCount } = level
    variance += (2 / pixelCount) * (coefficient * temporalVarianceAdu2) ** 2
    const key = `${darkMeanAdu}/${darkTemporalVarianceAdu2}`
    const sharedBefore = darks.get(key)?.coefficient ?? 0
    darks.set(key, { level, coefficient: sharedBefore + coefficient, pixelCount })
  }
  for (const { level, coefficient, pixelCount } of darks.values()) {
    variance += (2 / pixelCount) * (coefficient * level.darkTemporalVarianceAdu2) ** 2
  }
  return Math.sqrt(variance)
}
