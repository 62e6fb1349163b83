// What each sub of a stack brings in: columns of numbers, for a hundred thousand of them.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { readVariance, type AccountModel } from './account-model.ts'
import type { AccountSubs } from './account-subs.ts'

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
 * @param into  columns of as many subs that are written over; new ones when absent
 * @returns electrons, electrons², electrons per pixel
 * @source as `subYield`
 */
export function subTerms(
  subs: AccountSubs,
  model: AccountModel,
  relief: Relief = {},
  into: SubTerms = emptyTerms(subs),
): SubTerms {
  const { leastTransparency = 0, mostSky = Infinity, mostDark = Infinity, leastCaptured = 0 } = relief
  const { signalElectronsPerSecond: rate, underlyingElectronsPerPixelSecond: underlying, effectivePixels } = model
  const { count } = subs
  const read = readVariance(model)
  const { signals, variances, backgrounds } = into
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
  return into
}

function emptyTerms({ count, master }: AccountSubs): SubTerms {
  return {
    signals: new Float64Array(count),
    variances: new Float64Array(count),
    backgrounds: new Float64Array(count),
    masters: master.subarray(0, count),
  }
}

/**
 * The same without some subs.
 *
 * @param dropped  their indices
 * @returns columns of those that are kept, in their order
 * @derived each sub stands for itself
 */
export function termsWithout(terms: SubTerms, dropped: ReadonlySet<number>): SubTerms {
  const isDropped = new Uint8Array(terms.signals.length)
  for (const index of dropped) isDropped[index] = 1
  const isKept = (_: number, index: number) => isDropped[index] === 0
  return {
    signals: terms.signals.filter(isKept),
    variances: terms.variances.filter(isKept),
    backgrounds: terms.backgrounds.filter(isKept),
    masters: terms.masters.filter(isKept),
  }
}
