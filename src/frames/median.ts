// Medians of a few numbers.

import { quickSelect } from './mesh.ts'

/** Median, the mean of the two middle numbers for an even count; undefined for none. */
export function median(values: readonly number[] | Float64Array): number | undefined {
  if (values.length === 0) return undefined
  const work = Float64Array.from(values)
  const upper = quickSelect(work, work.length, work.length >> 1)
  if (work.length % 2 === 1) return upper
  return (upper + quickSelect(work, work.length, (work.length >> 1) - 1)) / 2
}

/** The value with half of the weight on either side; the mean of two where the half falls between them. */
export function weightedMedian(items: readonly { value: number; weight: number }[]): number | undefined {
  const sorted = items.toSorted((one, other) => one.value - other.value)
  const half = sorted.reduce((sum, { weight }) => sum + weight, 0) / 2
  let below = 0
  for (const [index, { value, weight }] of sorted.entries()) {
    below += weight
    if (below > half) return value
    if (below === half) return (value + (sorted[index + 1]?.value ?? value)) / 2
  }
  return undefined
}
