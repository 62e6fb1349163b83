// What a script writes down of each sub, as the session sees it: in order of time, each sub once.

/** One sub as it was measured; null where nothing was. */
export interface SubRecord {
  /** Seconds on any one clock. */
  startSeconds: number
  subSeconds: number
  /** Which of the session's filters. */
  filter: number
  /** All that arrived on a pixel of the background, sky and dark current. Where the background clips, at least this. */
  electronsPerSecond: number | null
  /** Background at the top of the scale, so that its level is only a lower bound. */
  clipped: boolean
  sensorCelsius: number | null
  /** Against the reference, 1 = as bright. */
  starFlux: number | null
  /** Against the reference, or in any one unit. */
  fwhm: number | null
  guidingErrorArcsec: number | null
  accepted: boolean
}

export interface OrderedRecords<Sub extends SubRecord> {
  subs: Sub[]
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
 * @returns a new list, and what was amiss with the one given
 * @derived sorting by start, stable
 */
export function orderRecords<Sub extends SubRecord>(given: readonly Sub[]): OrderedRecords<Sub> {
  const outOfOrder = isOutOfOrder(given)
  const sorted = outOfOrder ? [...given].sort((a, b) => a.startSeconds - b.startSeconds) : given
  const subs: Sub[] = []
  let end = -Infinity
  let overlapping = 0
  for (const [index, sub] of sorted.entries()) {
    if (sub.startSeconds === sorted[index + 1]?.startSeconds) continue
    subs.push(sub)
    if (sub.startSeconds < end - SLACK_SECONDS) overlapping++
    end = sub.startSeconds + sub.subSeconds
  }
  return { subs, duplicates: given.length - subs.length, outOfOrder, overlapping }
}

function isOutOfOrder(subs: readonly SubRecord[]): boolean {
  let before = -Infinity
  for (const { startSeconds } of subs) {
    if (startSeconds < before) return true
    before = startSeconds
  }
  return false
}
