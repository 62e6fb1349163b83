// What each sub of a stack brings in: columns of numbers, for a hundred thousand of them.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { readVariance, type AccountModel } from './account-model.ts'
import type { AccountSubs } from './account-subs.ts'
import { ColumnMemory } from './column-memory.ts'

/** Bounds that take troubles of subs away; without any, subs are as they were. */
export interface Relief {
  leastTransparency?: number
  mostSky?: number
  mostDark?: number
  leastCaptured?: number
}

export interface SubTerms {
  /** a: electrons of the thing that are captured. */
  signals: Float64Array
  /** v: independent variance, electrons². */
  variances: Float64Array
  /** b: electrons that the flat divides on a pixel beside the thing. */
  backgrounds: Float64Array
  /** Which master dark each takes. */
  masters: Uint32Array
}

/**
 * Signal, independent variance and background of every sub.
 *
 * @param relief  bounds that are laid on every sub first
 * @param memory  for the columns
 * @returns electrons, electrons², electrons per pixel
 * @source as `subYield`
 */
export function subTerms(
  subs: AccountSubs,
  model: AccountModel,
  relief: Relief = {},
  memory = new ColumnMemory(),
): SubTerms {
  const { leastTransparency = 0, mostSky = Infinity, mostDark = Infinity, leastCaptured = 0 } = relief
  const { signalElectronsPerSecond: rate, underlyingElectronsPerPixelSecond: underlying, effectivePixels } = model
  const { count } = subs
  const read = readVariance(model)
  const terms = emptyTerms(subs.master.subarray(0, count), memory)
  const { signals, variances, backgrounds } = terms
  for (let index = 0; index < count; index++) {
    // The terms of subYield once more, on plain numbers: an object for each of so many subs takes ten times as long.
    const seconds = subs.subSeconds[index]!
    const transparency = Math.max(subs.transparency[index]!, leastTransparency)
    const signal = rate * transparency * seconds * Math.max(subs.captured[index]!, leastCaptured)
    const background = (Math.min(subs.sky[index]!, mostSky) + transparency * underlying) * seconds
    const dark = Math.min(subs.dark[index]!, mostDark) * seconds
    signals[index] = signal
    backgrounds[index] = background
    variances[index] = signal + effectivePixels * (background + dark + read)
  }
  return terms
}

const emptyTerms = (masters: Uint32Array, memory: ColumnMemory): SubTerms => ({
  signals: memory.float64(masters.length),
  variances: memory.float64(masters.length),
  backgrounds: memory.float64(masters.length),
  masters,
})

/**
 * The terms of some subs, in an order of one's own.
 *
 * @param indices  of the subs
 * @param memory  for the columns
 * @returns columns as long as the indices
 * @derived each sub stands for itself
 */
export function termsAt(terms: SubTerms, indices: Uint32Array, memory = new ColumnMemory()): SubTerms {
  const count = indices.length
  const some = emptyTerms(memory.uint32(count), memory)
  for (let place = 0; place < count; place++) {
    const index = indices[place]!
    some.signals[place] = terms.signals[index]!
    some.variances[place] = terms.variances[index]!
    some.backgrounds[place] = terms.backgrounds[index]!
    some.masters[place] = terms.masters[index]!
  }
  return some
}

/**
 * The terms of all subs but some.
 *
 * @param dropped  their indices
 * @param memory  for the columns
 * @returns columns of those that are kept, in their order
 * @derived each sub stands for itself
 */
export function termsWithout(terms: SubTerms, dropped: Iterable<number>, memory = new ColumnMemory()): SubTerms {
  const isDropped = memory.uint8(terms.signals.length)
  for (const index of dropped) isDropped[index] = 1
  const kept = memory.uint32(isDropped.length)
  let count = 0
  for (let index = 0; index < isDropped.length; index++) if (isDropped[index] === 0) kept[count++] = index
  return termsAt(terms, kept.subarray(0, count), memory)
}
