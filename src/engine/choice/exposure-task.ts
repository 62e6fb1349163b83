// One light on one colour plane, up to a signal-to-noise ratio: how long it takes, and what a number of subs yields. Counts
// are real numbers here, so that set-ups compare smoothly and none wins by the luck of rounding.

import { realSubCount } from '../exposure/stack.ts'

export interface ExposureTask {
  /** Of one sub, ≥ 0. */
  signalElectrons: number
  /** Independent variance of one sub over the efficiency of the estimator, electrons², > 0. */
  variance: number
  /** What calibration leaves in one sub, electrons², ≥ 0. */
  calibrationVariance: number
  /** Independent pointings, ≥ 1. */
  ditherPositions: number
  /** The goal on the same pixel, > 0. */
  snr: number
  /** Clock time of one kept sub, > 0. */
  clockSecondsPerSub: number
}

/**
 * Signal-to-noise ratio of a real number of subs.
 *
 *     SNR = N Q/√(N v + c N²/min(M, N))
 *
 * @param count  N > 0
 * @returns ≥ 0
 * @derived the stack's budget at real N, the inverse of realSubCount
 */
export function taskSnr(task: ExposureTask, count: number): number {
  const repeats = count ** 2 / Math.min(task.ditherPositions, count)
  return (count * task.signalElectrons) / Math.sqrt(count * task.variance + repeats * task.calibrationVariance)
}

/**
 * Real number of subs that brings a task to a multiple of its goal.
 *
 * @param level  multiple of the goal, > 0
 * @returns null above the ceiling that calibration leaves, or where there is no signal
 * @derived realSubCount at level · goal
 */
export function taskCount(task: ExposureTask, level: number): number | null {
  return realSubCount({ ...task, snr: task.snr * level })
}

/**
 * Clock time of tasks that one exposure serves at once, as the planes of a mosaic are: that of the slowest.
 *
 * @param level  multiple of every goal, > 0
 * @returns seconds; null where one of them never gets there
 * @derived maximum over the tasks
 */
export function runSeconds(tasks: readonly ExposureTask[], level: number): number | null {
  let slowest = 0
  for (const task of tasks) {
    const count = taskCount(task, level)
    if (count === null) return null
    slowest = Math.max(slowest, count * task.clockSecondsPerSub)
  }
  return slowest
}
