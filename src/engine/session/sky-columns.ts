// What is worked out of the sky behind the subs: a column for each quantity, a number for each sub of the session. Filters
// are lists of the places of their subs, which are in order of time.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { ColumnMemory } from './column-memory.ts'
import type { Series } from './series.ts'

/** How well the dark current at another temperature is known. Common practice, no source. */
export const DARK_LAW_SHARE = 0.3

/** Places of the subs of one filter whose background was measured, in order of time. */
export type FilterPlaces = readonly number[]

/** Of all columns: memory that is had at once costs less than a piece for each. */
const MOST_BYTES_PER_SUB = 12 * 8

export class SkyColumns {
  /** Middle of the exposure. */
  readonly seconds: Float64Array
  /** Electrons per second, dark current taken off; NaN where no background was measured, and then nothing else counts. */
  readonly skyElectronsPerSecond: Float64Array
  readonly deviation: Float64Array
  /** Noise of one pixel of the background, as a rate. */
  readonly pixelNoise: Float64Array
  /** Against the darkest level of its filter, or against its noise where that is more. */
  readonly ratio: Float64Array
  /** What the ratio may be off, as far as every sub shows it anew. */
  readonly noise: Float64Array
  /** What it may be off by the law of the dark current. */
  readonly darkDoubt: Float64Array
  /** Dark current on the scale of the ratio. */
  readonly darkRatio: Float64Array
  /** Share of their light that stars have lost; 0 where nobody measured. */
  readonly lostShare: Float64Array
  /** By what share the present level is above the darkest of the session, and below the brightest. */
  readonly rise: Float64Array
  readonly fall: Float64Array
  /** 1 where stars were dimmed. */
  readonly dimmed: Uint8Array
  /** 1 where a light passed, and where only the last sub of the filter made it certain. */
  readonly spike: Uint8Array
  readonly late: Uint8Array

  /** @param length  subs of the session */
  constructor(length: number, dimmed: Uint8Array) {
    const memory = new ColumnMemory(MOST_BYTES_PER_SUB * length)
    this.seconds = memory.float64(length)
    this.skyElectronsPerSecond = memory.float64(length).fill(NaN)
    this.deviation = memory.float64(length)
    this.pixelNoise = memory.float64(length)
    this.ratio = memory.float64(length)
    this.noise = memory.float64(length)
    this.darkDoubt = memory.float64(length)
    this.darkRatio = memory.float64(length)
    this.lostShare = memory.float64(length)
    this.rise = memory.float64(length)
    this.fall = memory.float64(length)
    this.dimmed = dimmed
    this.spike = memory.uint8(length)
    this.late = memory.uint8(length)
  }

  /** @returns whether the background of a sub was measured */
  isMeasured(at: number): boolean {
    return !Number.isNaN(this.skyElectronsPerSecond[at])
  }

  /** @returns ratios and their times at some places */
  ratiosAt(places: FilterPlaces): Series {
    return { seconds: picked(this.seconds, places), values: picked(this.ratio, places) }
  }
}

/**
 * Some numbers of a column.
 *
 * @returns a column of its own
 * @derived picking
 */
export function picked(column: Float64Array, places: FilterPlaces): Float64Array {
  const found = new Float64Array(places.length)
  for (let index = 0; index < found.length; index++) found[index] = column[places[index]!]!
  return found
}

/**
 * The last places of some kind, without a look at all those before.
 *
 * @param most  how many are wanted
 * @returns in order of time
 * @derived picking
 */
export function lastPlaces(places: FilterPlaces, most: number, isMeant: (at: number) => boolean): number[] {
  const last: number[] = []
  for (let index = places.length - 1; index >= 0 && last.length < most; index--) {
    const at = places[index]!
    if (isMeant(at)) last.push(at)
  }
  return last.reverse()
}
