// How straight the response is: the level against the light, fitted so that every level counts by its own size.

import { EngineError, requireInRange } from '../errors.ts'
import { fitLine } from './linear-fit.ts'

export interface ResponsePoint {
  /** Photons, seconds, or anything proportional to the light; > 0. */
  exposure: number
  /** Level above the dark, > 0. */
  signalAdu: number
  /** Relative standard uncertainty of the level; null when unknown. */
  relativeUncertainty: number | null
}

export interface Linearity {
  /** ADU per unit of exposure, and ADU. */
  slope: number
  offsetAdu: number
  /** Mean of |deviation| from the line, as a fraction of the line. */
  errorShare: number
  /** Deviations as fractions, from dark to bright as given. */
  deviationShares: number[]
  minimumShare: number
  maximumShare: number
  /** Standard uncertainty of errorShare: the levels' own, averaged; null when one isn't known. */
  standardUncertainty: number | null
  /** What the mean |deviation| would come to on a straight response through noise alone; null likewise. */
  noiseFloorShare: number | null
}

/**
 * Linearity error.
 *
 *     y = a₀ + a₁ H, weights 1/y²;   δ = (y − fit)/fit;   LE = mean |δ|
 *
 * @param points  three or more, the standard takes those from 5 to 95 % of saturation
 * @returns fractions, not percent
 * @throws {EngineError} `not-enough-data` below three; `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear, eqs. 58 to 63 (minimum and maximum as in Release 3.1)
 */
export function linearity(points: readonly ResponsePoint[]): Linearity {
  if (points.length < 3) {
    throw new EngineError('not-enough-data', 'Linearity needs three levels or more.', {
      facts: { levels: points.length },
    })
  }
  for (const { exposure, signalAdu } of points) {
    requireInRange('exposure', exposure, 1e-12, 1e15)
    requireInRange('signalAdu', signalAdu, 1e-9, 1e9)
  }
  const line = fitLine(
    points.map(({ exposure, signalAdu }) => ({ x: exposure, y: signalAdu, weight: 1 / signalAdu ** 2 })),
  )
  const deviationShares = points.map(({ exposure, signalAdu }) => {
    const fitted = line.intercept + line.slope * exposure
    return (signalAdu - fitted) / fitted
  })
  const uncertainties = points.flatMap(({ relativeUncertainty }) => relativeUncertainty ?? [])
  const isKnown = uncertainties.length === points.length
  return {
    slope: line.slope,
    offsetAdu: line.intercept,
    errorShare: deviationShares.reduce((sum, share) => sum + Math.abs(share), 0) / points.length,
    deviationShares,
    minimumShare: Math.min(...deviationShares),
    maximumShare: Math.max(...deviationShares),
    standardUncertainty: isKnown ? Math.hypot(...uncertainties) / points.length : null,
    noiseFloorShare: isKnown
      ? (Math.sqrt(2 / Math.PI) * uncertainties.reduce((sum, one) => sum + one, 0)) / points.length
      : null,
  }
}
