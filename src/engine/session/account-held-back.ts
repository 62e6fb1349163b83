// What held a night back: the information (SNR²) it would have gained had one thing alone been taken away.

import type { AccountModel } from './account-model.ts'
import { independentSnr, stackSnr } from './account-snr.ts'
import { joinedStack, repeatedStack, stackOf, type Stack } from './account-stack.ts'
import { AccountSubs, type AccountSub } from './account-subs.ts'
import { subTerms, type Relief } from './account-terms.ts'
import { ColumnMemory } from './column-memory.ts'

export const HELD_BACK_FACTORS = [
  'transparency',
  'sky',
  'read-noise',
  'dark-current',
  'seeing',
  'dead-time',
  'pauses',
  'cloud',
  'rejected-in-a-row',
  'rejected',
  'calibration',
  'combining',
] as const

export type HeldBackFactor = (typeof HELD_BACK_FACTORS)[number]

export interface SessionTime {
  /** Exposure of the subs that count. */
  exposureSeconds: number
  /** Exposure of those that are not accepted: for cloud, in a row for something else, and one by one. */
  cloudSeconds: number
  spellSeconds: number
  rejectedSeconds: number
  deadSeconds: number
  pauseSeconds: number
}

/**
 * Information gained were one thing alone removed, for each of them.
 *
 * Transparency, sky and seeing are taken back to the reference where they were worse; read noise, dark current, what
 * calibration leaves and what the way of combining loses are taken away; rejected subs are taken to be worth what the others
 * were, dead time and pauses to be exposed at the night's own mean. Where no sub counts, a rejected one is worth a reference sub.
 *
 * @param input.subs  those that count
 * @param input.stack  their sums
 * @param input.reference  a sub under reference conditions
 * @param input.memory  for columns that are needed meanwhile
 * @returns SNR² gained, ≥ 0
 * @derived SNR² of the stack with that one change, less SNR² of the stack
 */
export function heldBackBy(input: {
  subs: AccountSubs
  stack: Stack
  model: AccountModel
  reference: AccountSub
  time: SessionTime
  memory?: ColumnMemory
}): Record<HeldBackFactor, number> {
  const { subs, stack, model, reference, time } = input
  const { exposureSeconds, cloudSeconds, spellSeconds, rejectedSeconds, deadSeconds, pauseSeconds } = time
  const { memory = new ColumnMemory() } = input
  const stackWith = (relief: Relief, changed: AccountModel) =>
    memory.within(() => stackOf(subTerms(subs, changed, relief, memory), changed))
  const reached = stackSnr(stack, model) ** 2
  const gained = (snr: number) => Math.max(0, snr ** 2 - reached)
  const without = (relief: Relief, changed = model) => gained(stackSnr(stackWith(relief, changed), changed))
  const openSeconds = exposureSeconds + cloudSeconds + spellSeconds + rejectedSeconds
  const longer = (seconds: number, than: number) =>
    than === 0 ? 0 : gained(stackSnr(repeatedStack(stack, 1 + seconds / than), model))
  const one = stackOf(subTerms(AccountSubs.of(reference), model), model)
  const asReference = (seconds: number) =>
    gained(stackSnr(joinedStack(stack, repeatedStack(one, seconds / reference.subSeconds)), model))
  const accepted = (seconds: number) =>
    exposureSeconds === 0 ? asReference(seconds) : longer(seconds, exposureSeconds)
  const noiseless = { ...model, readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 } }
  return {
    transparency: without({ leastTransparency: reference.transparency }),
    sky: without({ mostSky: reference.skyElectronsPerPixelSecond }),
    'read-noise': without({}, noiseless),
    'dark-current': without({ mostDark: 0 }),
    seeing: without({ leastCaptured: reference.capturedFraction }),
    'dead-time': longer(deadSeconds, openSeconds),
    pauses: longer(pauseSeconds, openSeconds),
    cloud: accepted(cloudSeconds),
    'rejected-in-a-row': accepted(spellSeconds),
    rejected: accepted(rejectedSeconds),
    calibration: gained(independentSnr(stack, model)),
    combining: gained(stackSnr(stack, model, 1)),
  }
}
