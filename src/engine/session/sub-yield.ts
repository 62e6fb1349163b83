// What one sub holds, and what weight that earns it.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { readVariance, type AccountModel } from './account-model.ts'
import type { AccountSub, AccountSubs } from './account-subs.ts'

/** Signal and independent variance of one sub, electrons and electrons². */
export interface SubYield {
  signal: number
  variance: number
}

/**
 * What one sub holds.
 *
 *     a = τ F c t,   v = a + n ((S + D + τ O) t + R² + K²/12)
 *
 * @returns electrons, electrons²
 * @source Merline & Howell 1995, Exp. Astron. 6, 163 (from memory), with the sub's own sky, transparency and temperature
 */
export function subYield(sub: AccountSub, model: AccountModel): SubYield {
  const { subSeconds, transparency } = sub
  const signal = model.signalElectronsPerSecond * transparency * sub.capturedFraction * subSeconds
  const sky = sub.skyElectronsPerPixelSecond + transparency * model.underlyingElectronsPerPixelSecond
  const background = (sky + sub.darkElectronsPerPixelSecond) * subSeconds
  return { signal, variance: signal + model.effectivePixels * (background + readVariance(model)) }
}

/**
 * Weight of a sub in the sum of the frames as they were taken.
 *
 *     w = a/v, the one that gives Σ w a/√(Σ w² v) its maximum √(Σ a²/v)
 *
 * After all frames were scaled to a common brightness of the target, the same weighing is a²/v.
 *
 * @returns per electron; 0 for a sub without signal
 * @derived Cauchy–Schwarz inequality on Σ w a = Σ (w √v)(a/√v)
 */
export function subWeight({ signal, variance }: SubYield): number {
  return signal === 0 ? 0 : signal / variance
}

/** Columns of what every sub holds. */
export interface SubYields {
  signals: Float64Array
  variances: Float64Array
  /** As {@link subWeight}. */
  weights: Float64Array
}

/**
 * Signal, independent variance and weight of every sub.
 *
 * @returns electrons, electrons², per electron
 * @source as {@link subYield}
 */
export function subYields(subs: AccountSubs, model: AccountModel): SubYields {
  const { count } = subs
  const yields = {
    signals: new Float64Array(count),
    variances: new Float64Array(count),
    weights: new Float64Array(count),
  }
  const { signalElectronsPerSecond: rate, underlyingElectronsPerPixelSecond: underlying, effectivePixels } = model
  const read = readVariance(model)
  for (let index = 0; index < count; index++) {
    // The terms of subYield once more, on plain numbers: an object for each of so many subs takes ten times as long.
    const seconds = subs.subSeconds[index]!
    const transparency = subs.transparency[index]!
    const signal = rate * transparency * subs.captured[index]! * seconds
    const background = (subs.sky[index]! + transparency * underlying + subs.dark[index]!) * seconds
    const variance = signal + effectivePixels * (background + read)
    yields.signals[index] = signal
    yields.variances[index] = variance
    yields.weights[index] = signal === 0 ? 0 : signal / variance
  }
  return yields
}
