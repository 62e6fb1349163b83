// Statistics of a pair of frames taken alike. Their difference holds the temporal noise alone, their covariance the
// fixed pattern alone, so that neither needs the other to be known.

import { EngineError, requireInRange } from '../errors.ts'

export interface PairStatistics {
  meanAdu: number
  /** Variance of one frame in time. */
  temporalVarianceAdu2: number
  /** Variance from pixel to pixel that both frames share, free of temporal noise; may come out negative. */
  spatialVarianceAdu2: number
  /** Mean of the first frame less that of the second; light that isn't steady shows here. */
  meanDifferenceAdu: number
  pixelCount: number
}

/**
 * Statistics of two frames of one level.
 *
 *     μ = (μ₀ + μ₁)/2,   σ² = ⟨(y₀ − y₁)²⟩/2 − (μ₀ − μ₁)²/2,   s² = ⟨y₀ y₁⟩ − μ₀ μ₁
 *
 * The spatial variance holds everything that both frames share, uneven illumination too.
 *
 * @param first  values of one frame, in ADU
 * @param second  of the other, in the same order
 * @returns ADU and ADU²
 * @throws {EngineError} `not-enough-data` below two pixels or with unequal lengths; `out-of-range` when a value is not finite
 * @source EMVA 1288 Release 4.0 Linear, eqs. 16, 18 and 32
 */
export function pairStatistics(first: ArrayLike<number>, second: ArrayLike<number>): PairStatistics {
  const pixelCount = first.length
  if (pixelCount < 2 || second.length !== pixelCount) {
    throw new EngineError('not-enough-data', 'A pair needs two frames of the same size, of two pixels or more.', {
      facts: { firstPixels: pixelCount, secondPixels: second.length },
    })
  }
  // Sums about a value of the frame itself, so that small variances on a high level keep their digits.
  const origin = Number(first[0])
  let sumFirst = 0
  let sumSecond = 0
  let sumProduct = 0
  let sumDifference2 = 0
  for (let index = 0; index < pixelCount; index++) {
    const a = Number(first[index]) - origin
    const b = Number(second[index]) - origin
    sumFirst += a
    sumSecond += b
    sumProduct += a * b
    sumDifference2 += (a - b) ** 2
  }
  const meanFirst = sumFirst / pixelCount
  const meanSecond = sumSecond / pixelCount
  const meanDifferenceAdu = meanFirst - meanSecond
  const statistics = {
    meanAdu: origin + (meanFirst + meanSecond) / 2,
    temporalVarianceAdu2: sumDifference2 / (2 * pixelCount) - meanDifferenceAdu ** 2 / 2,
    spatialVarianceAdu2: sumProduct / pixelCount - meanFirst * meanSecond,
    meanDifferenceAdu,
    pixelCount,
  }
  for (const [name, value] of Object.entries(statistics)) requireInRange(name, value, -Number.MAX_VALUE)
  return statistics
}
