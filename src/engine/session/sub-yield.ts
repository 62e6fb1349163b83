// What one sub holds.

import { readVariance, type AccountModel } from './account-model.ts'
import type { AccountSub } from './account-subs.ts'

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
