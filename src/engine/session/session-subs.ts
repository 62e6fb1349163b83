// What a script writes down of the subs of a session: a column for each quantity, since a session holds many subs and is gone
// through many times.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

/** A number for each sub; NaN where nothing was measured. */
export interface SessionSubs {
  /** Place of the sub in the list that it came in. */
  index: Float64Array
  /** Seconds on any one clock. */
  startSeconds: Float64Array
  subSeconds: Float64Array
  /** Which of the session's filters. */
  filter: Float64Array
  /** All that arrived on a pixel of the background, sky and dark current. Where the background clips, at least this. */
  electronsPerSecond: Float64Array
  /** 1 where the background was at the top of the scale, so that its level is only a lower bound. */
  isClipped: Float64Array
  sensorCelsius: Float64Array
  /** Against the reference, 1 = as bright. */
  starFlux: Float64Array
  /** Against the reference, or in any one unit. */
  fwhm: Float64Array
  guidingErrorArcsec: Float64Array
  /** 1 where the sub was kept. */
  isAccepted: Float64Array
}

export interface OrderedSubs {
  subs: SessionSubs
  /** Subs with the start of another: one camera cannot begin two at once. */
  duplicates: number
  outOfOrder: boolean
  /** Subs that begin before the one before them has ended. */
  overlapping: number
}

/** Clocks of cameras and computers that disagree by less than this don't make subs overlap. */
const SLACK_SECONDS = 2

/**
 * Subs in order of time; of those with the same start the one listed last stands.
 *
 * @returns the very columns where they are in order, else new ones; and what was amiss with those given
 * @derived sorting by start, stable
 */
export function orderSubs(given: SessionSubs): OrderedSubs {
  const { startSeconds } = given
  const outOfOrder = !isInOrder(startSeconds)
  const places = outOfOrder || hasTwins(startSeconds) ? orderedPlaces(startSeconds) : null
  const subs = places === null ? given : pickedSubs(given, places)
  const duplicates = startSeconds.length - subs.startSeconds.length
  return { subs, duplicates, outOfOrder, overlapping: countOverlapping(subs) }
}

function isInOrder(startSeconds: Float64Array): boolean {
  for (let at = 1; at < startSeconds.length; at++) if (startSeconds[at]! < startSeconds[at - 1]!) return false
  return true
}

/** Whether two neighbours have the same start. */
function hasTwins(startSeconds: Float64Array): boolean {
  for (let at = 1; at < startSeconds.length; at++) if (startSeconds[at] === startSeconds[at - 1]) return true
  return false
}

function orderedPlaces(startSeconds: Float64Array): number[] {
  const sorted = Array.from(startSeconds, (_, at) => at).sort((a, b) => startSeconds[a]! - startSeconds[b]!)
  return sorted.filter((at, index) => startSeconds[at] !== startSeconds[sorted[index + 1] ?? -1])
}

function pickedSubs(subs: SessionSubs, places: readonly number[]): SessionSubs {
  const columns = Object.entries(subs as unknown as Record<string, Float64Array>)
  return Object.fromEntries(
    columns.map(([name, column]) => [name, Float64Array.from(places, (at) => column[at]!)]),
  ) as unknown as SessionSubs
}

function countOverlapping({ startSeconds, subSeconds }: SessionSubs): number {
  let overlapping = 0
  let end = -Infinity
  for (let at = 0; at < startSeconds.length; at++) {
    if (startSeconds[at]! < end - SLACK_SECONDS) overlapping++
    end = startSeconds[at]! + subSeconds[at]!
  }
  return overlapping
}
