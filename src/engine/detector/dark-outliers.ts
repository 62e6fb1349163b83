// Outliers by leaving each rate out in turn: how far it lies from what the others predict for it.

import { judgementScale } from './dark-fit-scale.ts'
import { coverageFactor } from './student-t.ts'
import type { DarkRate } from './dark-rates.ts'
import type { ThermalModel, ThermalPoint } from './dark-thermal-model.ts'

export interface FittedRate extends DarkRate {
  fittedElectronsPerPixelSecond: number
  /** Distance from the others' prediction in its own standard deviations; null with too few others to tell. */
  standardizedResidual: number | null
  isOutlier: boolean
}

/** A rate and its place in the fit. */
export interface PlacedRate {
  rate: DarkRate
  point: ThermalPoint
}

/**
 * Rates with their fitted values, outliers marked.
 *
 * A rate is an outlier where chance alone would put it as far off as rarely as 3.5 standard deviations (1 in 2150). The
 * worst is set aside first and the others judged anew, so that one bad rate does not condemn its neighbours.
 *
 * @param input.model  fit to all rates
 * @param input.given  whether the weights came from given uncertainties
 * @returns in the order of the rates; residuals are those against the rates that are no outliers
 * @source Cook & Weisberg 1982, Residuals and Influence in Regression, 2.2 (from memory): externally studentised residuals
 */
export function markOutliers(input: {
  rates: readonly PlacedRate[]
  model: ThermalModel
  given: boolean
}): FittedRate[] {
  const { rates, model, given } = input
  let sound = [...rates]
  for (;;) {
    const excess = sound.map((placed) => excessOf(judge({ placed, sound, model, given })))
    const worst = Math.max(...excess)
    if (worst <= 1) break
    sound = sound.filter((_, index) => index !== excess.indexOf(worst))
  }
  return rates.map((placed) => {
    const judged = judge({ placed, sound, model, given })
    return {
      ...placed.rate,
      fittedElectronsPerPixelSecond: Math.exp(model.predict(placed.point.x).value),
      standardizedResidual: judged?.residual ?? null,
      isOutlier: excessOf(judged) > 1,
    }
  })
}

interface Judgement {
  residual: number
  threshold: number
}

function excessOf(judged: Judgement | null): number {
  return judged === null ? 0 : Math.abs(judged.residual) / judged.threshold
}

/** Distance of a rate from what the sound others predict; null where they are too few. */
function judge(input: {
  placed: PlacedRate
  sound: readonly PlacedRate[]
  model: ThermalModel
  given: boolean
}): Judgement | null {
  const { placed, sound, model, given } = input
  const { point } = placed
  const points = sound.filter((other) => other !== placed).map((other) => other.point)
  const parameterCount = model.lnConstant === null ? 2 : 3
  // With nothing left over among the others each rate looks as far off as the next: which is wrong cannot be told.
  if (points.length <= parameterCount || !points.some(({ x }) => x !== points[0]?.x)) return null
  const others = model.refit(points)
  const predicted = others.predict(point.x)
  const variance = judgementScale({ model: others, given }) * (1 / point.weight + predicted.variance)
  return {
    residual: (point.y - predicted.value) / Math.sqrt(variance),
    threshold: coverageFactor({
      level: 'three-and-a-half-sigma',
      degreesOfFreedom: given ? null : others.degreesOfFreedom,
    }),
  }
}
