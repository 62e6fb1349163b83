// The weights of an account, as they are told: each kind scaled so that the mean of their sizes is 1.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { FilterAccount } from './account.ts'

/** A column over the mean of its sizes; all 0 where it is. */
function overMean(column: Float64Array): Float64Array {
  const mean = column.reduce((sum, value) => sum + Math.abs(value), 0) / column.length
  return column.map((value) => (mean === 0 ? 0 : value / mean))
}

/** How the weights are spread; null without subs. */
export function weightsOf({ weights: given }: FilterAccount) {
  const weights = overMean(given).sort()
  const smallest = weights[0]
  const median = weights[weights.length >> 1]
  const largest = weights.at(-1)
  if (smallest === undefined || median === undefined || largest === undefined) return null
  let sum = 0
  let squares = 0
  for (const weight of weights) {
    sum += weight
    squares += weight * weight
  }
  return { smallest, median, largest, effectiveSubCount: squares === 0 ? 0 : sum ** 2 / squares }
}

/** Weight, signal and variance of every accepted sub, a list each. */
export function everySubOf({ weights, terms, tally }: FilterAccount) {
  const { signals, variances } = terms
  const scaled = weights.map((weight, index) => weight * signals[index]!)
  return {
    lines: [...tally.lines],
    weights: [...overMean(weights)],
    scaledWeights: [...overMean(scaled)],
    signalElectrons: [...signals],
    varianceElectrons2: [...variances],
  }
}
