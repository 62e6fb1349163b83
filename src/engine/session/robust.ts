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

/** The scatter is learnt from at most so many of the last rests. */
const RESTS = 60

/** Deviation of a bend in units of a value's: √(1 + 2² + 1). */
export const BEND_GAIN = Math.sqrt(6)

/** Variance of the median of three normal values in units of one value's. */
export const MEDIAN_OF_THREE_VARIANCE = 1 - Math.sqrt(3) / Math.PI

/** Deviation of a departure, as of {@link departureAt}, in units of a value's. */
export const DEPARTURE_GAIN = Math.sqrt(1 + MEDIAN_OF_THREE_VARIANCE / 2)

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
  for (let place = Math.max(2, values.length - RESTS); place < values.length; place++) {
    bends.push(values[place]! - 2 * values[place - 1]! + values[place - 2]!)
  }
  return bends
}

/**
 * How far a value stands out from where both sides have it. A wild value among them spoils none but its own.
 *
 *     xᵢ − (med(xᵢ₋₁, xᵢ₋₂, xᵢ₋₃) + med(xᵢ₊₁, xᵢ₊₂, xᵢ₊₃))/2
 *
 * @param values  in a course without haste
 * @param place  i, with three on either side
 * @returns 0 on any steady rise or fall, NaN if one is NaN or missing
 * @derived medians of three
 */
export function departureAt(values: Column, place: number): number {
  const before = medianOfThree(valueAt(values, place - 1), valueAt(values, place - 2), valueAt(values, place - 3))
  const after = medianOfThree(valueAt(values, place + 1), valueAt(values, place + 2), valueAt(values, place + 3))
  return valueAt(values, place) - (before + after) / 2
}

/** Rests beyond so many deviations are wild. */
const WILD = 3

/** Of what was believed beforehand, the least that a deviation is taken for: of values in coarse steps most may be alike. */
const LEAST_SHARE = 0.5

/**
 * Standard deviation of a series about whatever slow course it follows, from what is left of each value without it, of which
 * three quarters may be wild.
 *
 *     σ² = s² + p² w/(w + m),  s = root mean square of the tame rests/gain
 *
 * The lowest quarter is taken for tame at first; then whatever lies within three deviations as their median has it, until
 * none is added.
 *
 * @param rests  bends or departures, in order; of those the last 60
 * @param gain  deviation of a rest in units of a value's, > 0
 * @param prior  p > 0 and w > 0, which stand for the series while it is short
 * @returns > 0
 * @derived the prior fades with the number m of rests, and is added since a scatter from few may have come out small by chance
 */
export function scatterOf(rests: readonly number[], gain: number, prior: ScatterPrior): number {
  const magnitudes = magnitudesOf(rests.slice(-RESTS))
  const { length } = magnitudes
  const { deviation } = prior
  // One wild value makes three wild bends: of fewer than four there may be no other.
  if (length < 4) return deviation
  let tame = 0
  let limit = 0
  for (let next = length >> 2; next > tame; next = countUpTo(magnitudes, limit)) {
    tame = next
    const scatter = select(magnitudes, tame >> 1) / MEDIAN_MAGNITUDE
    limit = WILD * Math.max(scatter, LEAST_SHARE * gain * deviation)
  }
  const scatter = rootMeanSquareUpTo(magnitudes, limit) / gain
  return believing(scatter, length, prior)
}

/** What was believed beforehand fades with the number of measurements. */
function believing(scatter: number, count: number, { deviation, weight }: ScatterPrior): number {
  return Math.sqrt(scatter ** 2 + (deviation ** 2 * weight) / (weight + count))
}

/** Fewer values are too few, and of more there are better ways. */
export const FEWEST_IN_PAIRS = 6
export const MOST_IN_PAIRS = 15

/** dₙ for 6 to 9 values, and for more. */
const FEW_FACTORS = [0.611, 0.857, 0.669, 0.872]
const factorOf = (count: number) =>
  FEW_FACTORS[count - FEWEST_IN_PAIRS] ?? (count % 2 === 0 ? count / (count + 3.8) : count / (count + 1.4))

/**
 * Standard deviation of a few values about one level, of which nearly half may be wild: Qₙ.
 *
 *     σ² = s² + p² w/(w + n),  s = 2.2219 dₙ {|xᵢ − xⱼ|; i < j}₍ₖ₎,  k = h(h − 1)/2,  h = ⌊n/2⌋ + 1
 *
 * On a slope it comes out too high.
 *
 * @param differences  |xᵢ − xⱼ| of all pairs, which may come back in another order
 * @param count  n, 6 to 15
 * @param prior  p > 0 and w > 0
 * @returns > 0
 * @source Rousseeuw & Croux 1993, J. Am. Stat. Assoc. 88, 1273, dₙ from memory and tested by simulation
 */
export function scatterOfPairs(differences: Float64Array, count: number, prior: ScatterPrior): number {
  const half = (count >> 1) + 1
  const scatter = 2.2219 * factorOf(count) * select(differences, (half * (half - 1)) / 2 - 1)
  return believing(scatter, count, prior)
}

function magnitudesOf(values: readonly number[]): Float64Array {
  const magnitudes = new Float64Array(values)
  for (let place = 0; place < magnitudes.length; place++) magnitudes[place] = Math.abs(magnitudes[place]!)
  return magnitudes
}

function rootMeanSquareUpTo(values: Float64Array, limit: number): number {
  let squares = 0
  let count = 0
  for (let place = 0; place < values.length; place++) {
    const value = values[place]!
    if (value > limit) continue
    squares += value * value
    count++
  }
  return Math.sqrt(squares / count)
}

function countUpTo(values: Float64Array, limit: number): number {
  let count = 0
  for (let place = 0; place < values.length; place++) if (values[place]! <= limit) count++
  return count
}
