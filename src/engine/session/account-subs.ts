// The subs of an account: what arrived on each.

import { ColumnMemory } from './column-memory.ts'

/** One sub as it was taken. */
export interface AccountSub {
  subSeconds: number
  /** Light of the target against reference conditions, ≥ 0. */
  transparency: number
  /** ≥ 0. */
  skyElectronsPerPixelSecond: number
  /** ≥ 0. */
  darkElectronsPerPixelSecond: number
  /** Share of the measured thing's light that is captured; 1 for an extended target. */
  capturedFraction: number
  /** Which master dark it takes: index into the masters of the model. */
  master: number
}

/** Subs as columns of numbers: a hundred thousand of them are gone through a dozen times. */
export class AccountSubs {
  readonly subSeconds: Float64Array
  readonly transparency: Float64Array
  readonly sky: Float64Array
  readonly dark: Float64Array
  readonly captured: Float64Array
  readonly master: Uint32Array
  count = 0

  constructor(capacity: number, memory = new ColumnMemory()) {
    this.subSeconds = memory.float64(capacity)
    this.transparency = memory.float64(capacity)
    this.sky = memory.float64(capacity)
    this.dark = memory.float64(capacity)
    this.captured = memory.float64(capacity)
    this.master = memory.uint32(capacity)
  }

  static of(...subs: AccountSub[]): AccountSubs {
    const columns = new AccountSubs(subs.length)
    for (const sub of subs) columns.push(sub)
    return columns
  }

  push(sub: AccountSub): void {
    const index = this.count++
    this.subSeconds[index] = sub.subSeconds
    this.transparency[index] = sub.transparency
    this.sky[index] = sub.skyElectronsPerPixelSecond
    this.dark[index] = sub.darkElectronsPerPixelSecond
    this.captured[index] = sub.capturedFraction
    this.master[index] = sub.master
  }
}
