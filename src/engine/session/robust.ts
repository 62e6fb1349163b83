// Levels and scatter of short, noisy series in which single values may be far off.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import type { Column } from './series.ts'

/** Φ⁻¹(3/4): half of the magnitudes of a standard normal distribution lie below. */
export const MEDIAN_MAGNITUDE = 0.6744897501960817

/**
 * Value at a place.
 *
 * @returns NaN beyond either end
 * @derived indexing
 */
export function valueAt(values: Column, place: number): number {
  return values[place] ?? NaN
}

/**
 * Median; of an even number the mean of the middle two.
 *
 * @param values  at least one
 * @returns NaN without a value
 * @derived order statistics
 */
export function medianOf(values: Column): number {
  return medianInPlace(new Float64Array(values))
}

/**
 * Median of values whose order may be lost, as of a copy that served its turn.
 *
 * @param buffer  at least one value; comes back in another order
 * @returns NaN without a value
 * @derived order statistics
 */
export function medianInPlace(buffer: Float64Array): number {
  const { length } = buffer
  if (length === 0) return NaN
  const middle = length >> 1
  const upper = select(buffer, middle)
  if (length % 2 === 1) return upper
  let lower = -Infinity
  for (let place = 0; place < middle; place++) lower = Math.max(lower, buffer[place]!)
  return (lower + upper) / 2
}

/** The value that would stand at a place in order, by partition (Hoare); what is left of it is no larger. */
function select(buffer: Float64Array, place: number): number {
  let low = 0
  let high = buffer.length - 1
  while (low < high) {
    const pivot = buffer[place]!
    let up = low
    let down = high
    while (up <= down) {
      while (buffer[up]! < pivot) up++
      while (pivot < buffer[down]!) down--
      if (up > down) break
      const value = buffer[up]!
      buffer[up++] = buffer[down]!
      buffer[down--] = value
    }
    if (down < place) low = up
    if (place < up) high = down
  }
  return buffer[place]!
}

/**
 * Median of three values.
 *
 * @returns the middle one; NaN if one is NaN
 * @derived order statistics
 */
export function medianOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
}

/** What is believed of a scatter before anything was measured, and as how many measurements that counts. */
export interface ScatterPrior {
  deviation: number
  weight: number
}

/** The scatter is learnt from at most so many of the last bends. */
const BENDS = 60

/**
 * How far each value lies from the line on which its neighbours would have it: what is left of a slow course are its bends.
 *
 *     xᵢ − 2 xᵢ₋₁ + xᵢ₋₂
 *
 * @param values  in order; of those the last 62
 * @returns two fewer than there are values, at most 60
 * @derived second differences, which vanish on any steady rise or fall
 */
export function bendsOf(values: Column): number[] {
  const bends: number[] = []
  for (let place = Math.max(2, values.length - BENDS); place < values.length; place++) {
    bends.push(values[place]! - 2 * values[place - 1]! + values[place - 2]!)
  }
  return bends
}

/** Bends beyond so many deviations are wild. */
const WILD = 5

/** No bend within so much of what was believed beforehand is wild. */
const TAME_SHARE = 0.2

/**
 * Standard deviation of a series about whatever slow course it follows, from its bends, of which three quarters may be wild:
 * a lamp that passes spoils three, and a sky that comes and goes as many as it takes.
 *
 *     σ² = s² + p² w/(w + m),  s = median of the tame |bend|/(√6 Φ⁻¹(3/4))
 *
 * The lowest quarter is taken for tame at first; then whatever lies within five deviations, until none is added.
 *
 * @param bends  as of {@link bendsOf}, in order; of those the last 60
 * @param prior  p > 0 and w > 0, which stand for the series while it is short
 * @returns > 0
 * @derived 1, −2 and 1 times independent values have √6 their deviation; the prior fades with the number m of bends, and is
 * added since a scatter from few bends may have come out small by chance
 */
export function scatterOfBends(bends: readonly number[], prior: ScatterPrior): number {
  const magnitudes = magnitudesOf(bends.slice(-BENDS))
  const { length } = magnitudes
  const { deviation, weight } = prior
  // One wild value makes three wild bends: of fewer than four there may be no other.
  if (length < 4) return deviation
  let tame = 0
  let scatter = 0
  for (
    let next = length >> 2;
    next > tame;
    next = countUpTo(magnitudes, WILD * Math.sqrt(6) * Math.max(scatter, TAME_SHARE * deviation))
  ) {
    tame = next
    scatter = select(magnitudes, tame >> 1) / (Math.sqrt(6) * MEDIAN_MAGNITUDE)
  }
  return Math.sqrt(scatter ** 2 + (deviation ** 2 * weight) / (weight + length))
}

function magnitudesOf(values: readonly number[]): Float64Array {
  const magnitudes = new Float64Array(values)
  for (let place = 0; place < magnitudes.length; place++) magnitudes[place] = Math.abs(magnitudes[place]!)
  return magnitudes
}

function countUpTo(values: Float64Array, limit: number): number {
  let count = 0
  for (const value of values) if (value <= limit) count++
  return count
}
