// How much more of the same, or of reference conditions, brings a stack to a goal.

import { findRoot } from '../root.ts'
import type { AccountModel } from './account-model.ts'
import { stackSnr } from './account-snr.ts'
import { joinedStack, repeatedStack, type Stack } from './account-stack.ts'

/** More than this is out of reach: a thousand million times what there is, or as many subs. */
const MOST = 1e9

/** Information that the way of combining keeps for so many subs, of a mean's. */
export type EfficiencyOf = (count: number) => number

/**
 * How many times a stack must be taken again, as it is, to reach a signal-to-noise ratio.
 *
 * @param input.snr  > 0
 * @param input.efficiencyOf  for the number of subs there are then
 * @returns 0 where it is reached, real otherwise; null where calibration leaves it out of reach, or the stack has no signal
 * @derived {@link stackSnr} of the repeated stack, solved for the number of repeats
 */
export function repeatsMissing(input: {
  stack: Stack
  model: AccountModel
  snr: number
  efficiencyOf: EfficiencyOf
}): number | null {
  const { stack, snr } = input
  return missing((times) => snrOf(repeatedStack(stack, times), input), snr)
}

/**
 * How many subs of one kind must be added to a stack to reach a signal-to-noise ratio.
 *
 * @param input.sub  sums of one sub of that kind
 * @param input.efficiencyOf  for the number of subs there are then
 * @returns 0 where it is reached, real otherwise; null where calibration leaves it out of reach
 * @derived {@link stackSnr} of both together, solved for the number of subs
 */
export function subsMissing(input: {
  stack: Stack
  sub: Stack
  model: AccountModel
  snr: number
  efficiencyOf: EfficiencyOf
}): number | null {
  const { stack, sub, snr } = input
  return missing((count) => snrOf(joinedStack(stack, repeatedStack(sub, count - 1)), input), snr)
}

function snrOf(stack: Stack, { model, efficiencyOf }: { model: AccountModel; efficiencyOf: EfficiencyOf }): number {
  return stackSnr(stack, model, efficiencyOf(Math.max(1, Math.round(stack.count))))
}

/** The amount beyond 1 from which on a ratio is reached. */
function missing(snrOf: (amount: number) => number, snr: number): number | null {
  if (snrOf(1) >= snr) return 0
  if (snrOf(MOST) < snr) return null
  return findRoot((amount) => snrOf(amount) - snr, 1, MOST) - 1
}
