// The smallest set of darks (temperature and length) that serves a season's planned subs.

import { requireInRange } from '../errors.ts'

export interface PlannedSubs {
  /** Length, 1e-6 to 1e6. Darks serve subs of exactly their length. */
  subSeconds: number
  /** Sensor temperatures that would do, −150 to 100; both equal where only one will. */
  coldestCelsius: number
  warmestCelsius: number
}

export interface LibraryDark {
  subSeconds: number
  temperatureCelsius: number
  /** Indices of the planned subs that it serves. */
  serves: number[]
}

/**
 * Fewest darks such that each planned sub finds one of its length, no further than the tolerance from a temperature that
 * would do.
 *
 * Per length the plans are intervals of temperature, and the fewest points that meet all of them are found by taking them
 * in the order of their warm ends, each point serving all that contain it. Within the temperatures that serve the same
 * plans the whole degree nearest to the middle is taken, or the middle itself.
 *
 * @param input.toleranceCelsius  0 to 50
 * @returns by length, then from cold to warm
 * @throws {EngineError} `out-of-range`
 * @source greedy stabbing of intervals, exact: Gavril 1972, SIAM J. Comput. 1, 180 (from memory)
 */
export function smallestDarkLibrary(input: {
  planned: readonly PlannedSubs[]
  toleranceCelsius: number
}): LibraryDark[] {
  requireInRange('toleranceCelsius', input.toleranceCelsius, 0, 50)
  const intervals = input.planned.map((plan, index) => intervalOf(plan, index, input.toleranceCelsius))
  const lengths = [...new Set(intervals.map(({ subSeconds }) => subSeconds))].sort((a, b) => a - b)
  return lengths.flatMap((subSeconds) =>
    stab(intervals.filter((interval) => interval.subSeconds === subSeconds)).map((dark) => ({ subSeconds, ...dark })),
  )
}

/** Slack for temperatures that were meant to meet. */
const SAME_CELSIUS = 1e-9

interface Interval {
  index: number
  subSeconds: number
  from: number
  to: number
}

function intervalOf(plan: PlannedSubs, index: number, toleranceCelsius: number): Interval {
  const { subSeconds, coldestCelsius, warmestCelsius } = plan
  requireInRange('subSeconds', subSeconds, 1e-6, 1e6)
  requireInRange('coldestCelsius', coldestCelsius, -150, 100)
  requireInRange('warmestCelsius', warmestCelsius, coldestCelsius, 100)
  return { index, subSeconds, from: coldestCelsius - toleranceCelsius, to: warmestCelsius + toleranceCelsius }
}

function stab(intervals: readonly Interval[]): { temperatureCelsius: number; serves: number[] }[] {
  const darks: { temperatureCelsius: number; serves: number[] }[] = []
  let open = [...intervals].sort((a, b) => a.to - b.to)
  for (let first = open[0]; first !== undefined; first = open[0]) {
    const { to } = first
    const served = open.filter(({ from }) => from <= to + SAME_CELSIUS)
    open = open.filter(({ from }) => from > to + SAME_CELSIUS)
    darks.push({
      temperatureCelsius: roundWithin(Math.max(...served.map(({ from }) => from)), to),
      serves: served.map(({ index }) => index).sort((a, b) => a - b),
    })
  }
  return darks
}

function roundWithin(from: number, to: number): number {
  const middle = (from + to) / 2
  // Adding 0 turns -0 into 0.
  const whole = Math.round(middle) + 0
  return whole >= from && whole <= to ? whole : middle
}
