// Dark current from a ladder of darks, twice: by the growth of the mean, and by the growth of the variance, which also
// works where the camera takes the mean dark current off by itself.

import { requireInRange } from '../errors.ts'
import { fitLine } from './linear-fit.ts'
import { measuredFrom } from './measured-value.ts'
import type { MeasuredValue } from './measured-value.ts'

/** Statistics of a pair of darks of one exposure. */
export interface DarkPair {
  /** 0 to 1e6. */
  exposureSeconds: number
  meanAdu: number
  /** ≥ 0 */
  temporalVarianceAdu2: number
  /** Pixels of a frame, 2 or more; given for all pairs or for none. */
  pixelCount?: number
}

export interface DarkCurrentByLadder {
  /** Electrons per pixel and second. */
  byMean: MeasuredValue
  byVariance: MeasuredValue
}

/**
 * Dark current from darks of several exposures.
 *
 *     mean: slope/K;   variance: slope/K²
 *
 * @param input.darks  two different exposures or more, all at one temperature
 * @param input.aduPerElectron  K, > 0
 * @returns both estimates; uncertainties from the pixel counts, else from the scatter about the line (three darks or more)
 * @throws {EngineError} `not-enough-data` with fewer than two exposures; `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eqs. 29 and 30
 */
export function darkCurrentFromLadder(input: {
  darks: readonly DarkPair[]
  aduPerElectron: MeasuredValue
}): DarkCurrentByLadder {
  const { darks, aduPerElectron } = input
  requireInRange('aduPerElectron', aduPerElectron.value, 1e-9, 1e12)
  for (const dark of darks) {
    requireInRange('exposureSeconds', dark.exposureSeconds, 0, 1e6)
    requireInRange('meanAdu', dark.meanAdu, -1e9, 1e9)
    requireInRange('temporalVarianceAdu2', dark.temporalVarianceAdu2, 0, 1e15)
    requireInRange('pixelCount', dark.pixelCount ?? 2, 2, 1e12)
  }
  const mean = ladderSlope(
    darks.map(({ exposureSeconds: x, meanAdu: y, temporalVarianceAdu2, pixelCount }) => ({
      x,
      y,
      variance: pixelCount === undefined ? null : temporalVarianceAdu2 / (2 * pixelCount),
    })),
  )
  const variance = ladderSlope(
    darks.map(({ exposureSeconds: x, temporalVarianceAdu2: y, pixelCount }) => ({
      x,
      y,
      variance: pixelCount === undefined ? null : (2 / pixelCount) * y ** 2,
    })),
  )
  return {
    byMean: measuredFrom({ mean, aduPerElectron }, (values) => values.mean / values.aduPerElectron),
    byVariance: measuredFrom({ variance, aduPerElectron }, (values) => values.variance / values.aduPerElectron ** 2),
  }
}

/** Unweighted slope, as in the standard, with the uncertainty that the points bring to it. */
function ladderSlope(points: readonly { x: number; y: number; variance: number | null }[]): MeasuredValue {
  const line = fitLine(points.map(({ x, y }) => ({ x, y, weight: 1 })))
  const known = points.flatMap(({ x, variance }) => (variance === null ? [] : [{ x, variance }]))
  if (known.length < points.length) {
    const { degreesOfFreedom, chiSquare, slopeVariance } = line
    const scatter = degreesOfFreedom > 0 ? Math.sqrt((chiSquare / degreesOfFreedom) * slopeVariance) : null
    return { value: line.slope, standardUncertainty: scatter }
  }
  const meanX = known.reduce((sum, { x }) => sum + x, 0) / known.length
  const sum = known.reduce((total, { x, variance }) => total + (x - meanX) ** 2 * variance, 0)
  return { value: line.slope, standardUncertainty: Math.sqrt(sum) * line.slopeVariance }
}
