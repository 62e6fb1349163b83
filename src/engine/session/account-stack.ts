// A stack of subs that are all different: other lengths, other skies, clouds, temperatures. Each sub is known by what
// arrived on it, and a stack by sums over its subs, so that stacks can be added, scaled and asked for what they are worth.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { readVariance, type AccountModel } from './account-model.ts'
import type { AccountSubs } from './account-subs.ts'

/** Bounds that take troubles of subs away; without any, subs are as they were. */
export interface Relief {
  leastTransparency?: number
  mostSky?: number
  mostDark?: number
  leastCaptured?: number
}

/** Sums over the subs of a stack, each sub counted with its weight w. */
export interface StackSums {
  /** N, subs with any weight. */
  count: number
  /** Σ w a */
  signal: number
  /** Σ w² v over the efficiency. */
  variance: number
  /** Σ w² c over the efficiency: what calibration adds were it independent from sub to sub. */
  calibration: number
  /** Σ w for each master. */
  byMaster: readonly number[]
  /** Σ w times all of the thing's electrons, captured or not. */
  light: number
  /** Σ w times the electrons that the flat divides on a pixel beside it. */
  background: number
}

export type Weighing = 'inverse-variance' | 'equal'

/**
 * Sums over the subs of a stack.
 *
 * A way of combining other than the mean takes independent noise over its efficiency. For subs that are all different that
 * holds in the limit of many: a median of residuals in units of each sub's own noise keeps 2/π, a clipped mean what it
 * keeps of a normal distribution.
 *
 * @param relief  bounds that are laid on every sub first
 * @returns all zero for no subs
 * @derived terms add: signal and shared errors as amplitudes, independent noise as variance
 * @source Bassett & Koenker 1978, JASA 73, 618 (from memory), for least absolute residuals of subs that differ
 */
export function stackSums(subs: AccountSubs, model: AccountModel, weighing: Weighing, relief: Relief = {}): StackSums {
  const { leastTransparency = 0, mostSky = Infinity, mostDark = Infinity, leastCaptured = 0 } = relief
  const flat = masterFlatRelativeVariance(model.calibration)
  const { signalElectronsPerSecond: signalRate, underlyingElectronsPerPixelSecond: underlying, masters } = model
  const { effectivePixels: pixels } = model
  const read = readVariance(model)
  const isEqual = weighing === 'equal'
  const byMaster = masters.map(() => 0)
  let signal = 0
  let variance = 0
  let calibration = 0
  let light = 0
  let background = 0
  for (let index = 0; index < subs.count; index++) {
    // The terms of subYield once more, on plain numbers: an object for each of so many subs takes ten times as long.
    const seconds = subs.subSeconds[index]!
    const transparency = Math.max(subs.transparency[index]!, leastTransparency)
    const subLight = signalRate * transparency * seconds
    const captured = subLight * Math.max(subs.captured[index]!, leastCaptured)
    const subSky = Math.min(subs.sky[index]!, mostSky)
    const subBackground = (subSky + transparency * underlying) * seconds
    const subDark = Math.min(subs.dark[index]!, mostDark) * seconds
    const subVariance = captured + pixels * (subBackground + subDark + read)
    const weight = isEqual ? 1 : captured === 0 ? 0 : captured / subVariance
    const master = subs.master[index]!
    const masterVariance = masters[master]! * pixels
    const flatError = flat === 0 ? 0 : flat * flattened(subLight, captured, subBackground, model)
    signal += weight * captured
    variance += weight * weight * subVariance
    calibration += weight * weight * (masterVariance + flatError)
    byMaster[master] = byMaster[master]! + weight
    light += weight * subLight
    background += weight * subBackground
  }
  const { count } = subs
  const { efficiency } = model
  variance /= efficiency
  calibration /= efficiency
  return { count, signal, variance, calibration, byMaster, light, background }
}

/**
 * What a relative error of the flat, squared, is multiplied by.
 *
 * @param light  all electrons of the thing
 * @param captured  those of them within the aperture
 * @param background  electrons on each pixel beside it
 * @returns Σ over pixels of (share of the light + background)², electrons²
 * @derived the square written out
 */
export function flattened(
  light: number,
  captured: number,
  background: number,
  { squaredShares, effectivePixels }: AccountModel,
): number {
  return light * light * squaredShares + 2 * captured * background + effectivePixels * background * background
}

/**
 * A stack with every sub taken k times.
 *
 * @param times  k, ≥ 0; need not be whole
 * @returns the sums of the larger stack
 * @derived every sum is linear in the number of subs
 */
export function repeatedStack(sums: StackSums, times: number): StackSums {
  return {
    count: sums.count * times,
    signal: sums.signal * times,
    variance: sums.variance * times,
    calibration: sums.calibration * times,
    byMaster: sums.byMaster.map((weight) => weight * times),
    light: sums.light * times,
    background: sums.background * times,
  }
}

/**
 * Two stacks in one.
 *
 * @returns the sums of both
 * @derived every sum is a sum over subs
 */
export function joinedStack(one: StackSums, other: StackSums): StackSums {
  return {
    count: one.count + other.count,
    signal: one.signal + other.signal,
    variance: one.variance + other.variance,
    calibration: one.calibration + other.calibration,
    byMaster: one.byMaster.map((weight, index) => weight + other.byMaster[index]!),
    light: one.light + other.light,
    background: one.background + other.background,
  }
}
