// What was measured of the subs, as columns of numbers: a session holds many subs, and is gone through many times.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

/** Numbers in order. Where there is one for each sub they are bare in a typed array, which costs no object each. */
export type Column = readonly number[] | Float64Array

/** Values and when they were measured, in order of time. */
export interface Series {
  seconds: Column
  values: Column
}

/** One quantity of the subs that it was measured in. */
export interface MeasuredSeries extends Series {
  seconds: Float64Array
  values: Float64Array
  /** The same for all subs, NaN where it wasn't measured; the very values where it was in each. */
  ofAll: Float64Array
}

const NOTHING = new Float64Array(0)

/**
 * One quantity of the subs that it was measured in.
 *
 * @param startSeconds  of all subs, in order
 * @param ofAll  the quantity; NaN where it wasn't measured
 * @returns values and starts of their subs, without gaps and with
 * @derived picking
 */
export function measuredSeries(startSeconds: Float64Array, ofAll: Float64Array): MeasuredSeries {
  let count = 0
  for (let at = 0; at < ofAll.length; at++) if (!Number.isNaN(ofAll[at])) count++
  // Nearly always all subs have it, or none.
  if (count === ofAll.length) return { seconds: startSeconds, values: ofAll, ofAll }
  if (count === 0) return { seconds: NOTHING, values: NOTHING, ofAll }
  const isMeasured = (_: number, at: number) => !Number.isNaN(ofAll[at])
  return { seconds: startSeconds.filter(isMeasured), values: ofAll.filter(isMeasured), ofAll }
}

/**
 * A column over the values of a series as one over all subs.
 *
 * @param column  one number for each value
 * @returns NaN where nothing was measured; the column itself where all was
 * @derived picking turned about
 */
export function spreadOut(column: Float64Array, { ofAll }: MeasuredSeries): Float64Array {
  if (column.length === ofAll.length) return column
  const spread = new Float64Array(ofAll.length)
  let index = 0
  for (let place = 0; place < spread.length; place++) {
    spread[place] = Number.isNaN(ofAll[place]) ? NaN : column[index++]!
  }
  return spread
}
