// The errors of a stack written out as a matrix, and the best weights by solving for them: slow, and without any thought.

import { masterFlatRelativeVariance, type AccountModel, type SubTerms } from '../../../src/engine/index.ts'

const at = (column: ArrayLike<number>, index: number) => column[index] ?? NaN

/** How often a shared error counts between two subs, of so many that are spread over M pointings. */
const shareOf = (isSame: boolean, count: number, positions: number) =>
  count <= positions ? Number(isSame) : 1 / positions

/** @param isLit  whether only subs with signal use up a pointing */
export function covariance(
  { signals, variances, backgrounds, masters }: SubTerms,
  model: AccountModel,
  isLit = true,
): number[][] {
  const positions = model.calibration.ditherPositions ?? 1
  const flat = masterFlatRelativeVariance(model.calibration)
  const counted = [...signals.keys()].filter((index) => !isLit || at(signals, index) > 0)
  return [...signals].map((_, i) =>
    [...signals].map((_, j) => {
      const ofMaster = counted.filter((index) => masters[index] === masters[i]).length
      const dark = masters[i] === masters[j] ? at(model.masters, at(masters, i)) * model.effectivePixels : 0
      const [a, b, c, d] = [at(signals, i), at(backgrounds, i), at(signals, j), at(backgrounds, j)]
      const beside = model.concentration * a * c + a * d + b * c + model.effectivePixels * b * d
      return (
        (i === j ? at(variances, i) : 0) +
        dark * shareOf(i === j, ofMaster, positions) +
        flat * beside * shareOf(i === j, counted.length, positions)
      )
    }),
  )
}

/** C⁻¹ a by Gaussian elimination. */
export function solved(matrix: readonly (readonly number[])[], right: ArrayLike<number>): number[] {
  const rows = matrix.map((row, index) => [...row, at(right, index)])
  const count = rows.length
  rows.forEach((pivot, step) => {
    rows.forEach((row, index) => {
      if (index === step) return
      const factor = at(row, step) / at(pivot, step)
      for (let column = step; column <= count; column++) row[column] = at(row, column) - factor * at(pivot, column)
    })
  })
  return rows.map((row, index) => at(row, count) / at(row, index))
}

export const product = (one: ArrayLike<number>, other: ArrayLike<number>): number =>
  Array.from(one).reduce((sum, value, index) => sum + value * at(other, index), 0)

/** wᵀ C w. */
export const scatter = (matrix: readonly (readonly number[])[], weights: ArrayLike<number>): number =>
  product(
    weights,
    matrix.map((row) => product(row, weights)),
  )
