import type { Draws } from './draws.ts'

/** Poisson counts of one mean, by inversion of their tabulated distribution: quick enough for millions of pixels. */
export class PoissonCounts {
  private readonly lowest: number
  private readonly cumulative: Float64Array
  /** Where in the table to begin, for evenly spaced values of the uniform draw. */
  private readonly guide: Int32Array

  constructor(mean: number) {
    const reach = mean === 0 ? 0 : 9 * Math.sqrt(mean) + 25
    this.lowest = Math.max(0, Math.floor(mean - reach))
    this.cumulative = cumulativeCounts(mean, this.lowest, Math.ceil(mean + reach) - this.lowest + 1)
    const { length } = this.cumulative
    this.guide = new Int32Array(length)
    for (let i = 0, at = 0; i < length; i++) {
      while ((this.cumulative[at] ?? 0) < i / length) at++
      this.guide[i] = at
    }
  }

  next(draws: Draws): number {
    if (this.cumulative.length === 1) return this.lowest
    const uniform = draws.uniform()
    let at = this.guide[Math.floor(uniform * this.guide.length)] ?? 0
    while ((this.cumulative[at] ?? 0) < uniform) at++
    return this.lowest + at
  }
}

/** By recursion from the mode, where the probability is largest, so that nothing underflows. */
function cumulativeCounts(mean: number, lowest: number, length: number): Float64Array {
  const table = new Float64Array(length)
  const mode = Math.floor(mean) - lowest
  table[mode] = 1
  for (let i = mode; i + 1 < length; i++) table[i + 1] = ((table[i] ?? 0) * mean) / (lowest + i + 1)
  for (let i = mode; i > 0; i--) table[i - 1] = ((table[i] ?? 0) * (lowest + i)) / mean
  let sum = 0
  for (let i = 0; i < length; i++) table[i] = sum += table[i] ?? 0
  for (let i = 0; i < length; i++) table[i] = (table[i] ?? 0) / sum
  return table
}
