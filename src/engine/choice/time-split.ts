// How a night is split over runs that follow one another, filter after filter, so that the channel furthest from its goal is
// as near to it as can be.

import { runSeconds, type ExposureTask } from './exposure-task.ts'

export interface TimeSplit {
  /** The multiple of its goal that every run reaches, ≥ 0. */
  level: number
  /** Clock time of each run; they add up to the time there is, unless no run can use it. */
  seconds: number[]
}

/**
 * The split of a time over runs that makes the smallest SNR/goal largest.
 *
 *     all runs at one level q: Σ T(q) = time;   without calibration noise T(q) = q² T(1), so q = √(time/Σ T(1))
 *
 * Where calibration leaves noise, the level is found by halving below that closed form, which it cannot exceed.
 *
 * @param input.runs  each a set of tasks that one exposure serves at once
 * @param input.availableSeconds  ≥ 0
 * @returns level 0 and no time where a run has no signal, or where there is no time
 * @derived time moved from a run above the common level to the one below it raises the minimum
 */
export function splitTime(input: { runs: readonly (readonly ExposureTask[])[]; availableSeconds: number }): TimeSplit {
  const { runs, availableSeconds } = input
  const nothing = { level: 0, seconds: runs.map(() => 0) }
  const clean = runs.map((tasks) => tasks.map((task) => ({ ...task, calibrationVariance: 0 })))
  const unit = secondsAt(clean, 1)
  if (unit === null || availableSeconds <= 0) return nothing
  const ideal = Math.sqrt(availableSeconds / sum(unit))
  const seconds = secondsAt(runs, ideal)
  if (seconds !== null && sum(seconds) <= availableSeconds * (1 + 1e-12)) return { level: ideal, seconds }
  return splitBelow(input, ideal)
}

/** Halvings that narrow a level down to its last digit. */
const HALVINGS = 60

function splitBelow(
  { runs, availableSeconds }: { runs: readonly (readonly ExposureTask[])[]; availableSeconds: number },
  ideal: number,
): TimeSplit {
  let best: TimeSplit = { level: 0, seconds: runs.map(() => 0) }
  let tooMuch = ideal
  for (let halving = 0; halving < HALVINGS; halving++) {
    const level = (best.level + tooMuch) / 2
    const seconds = secondsAt(runs, level)
    if (seconds !== null && sum(seconds) <= availableSeconds) best = { level, seconds }
    else tooMuch = level
  }
  return best
}

/** Clock time of every run at a level; null where one never gets there. */
function secondsAt(runs: readonly (readonly ExposureTask[])[], level: number): number[] | null {
  const seconds: number[] = []
  for (const tasks of runs) {
    const time = runSeconds(tasks, level)
    if (time === null) return null
    seconds.push(time)
  }
  return seconds
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0)
}
