// A clock that slips on one line: the sub is where it stands in the log, not an hour before.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { TOUCH_SECONDS } from '../../engine/index.ts'
import type { Columns } from './log/sub-log.ts'
import type { Remarks } from './remarks.ts'

/** A sub that joins on another one within this, or within its own length, may well be where its time says. */
const NEAR_SECONDS = 300

/**
 * The starts of lines, single slips of the clock mended. A line that alone steps back, and whose time is either taken or far
 * from every other sub, begins where the line above it ended.
 *
 * @param places  of the lines, as they came
 */
export function mendedStarts(
  places: Uint32Array,
  { line, startSeconds, subSeconds }: Columns,
  filterOf: Uint8Array,
  remarks: Remarks,
): Float64Array {
  const startAt = (index: number) => startSeconds[places[index]!] ?? Infinity
  let mended: Float64Array | null = null
  let sorted: Uint32Array | null = null
  for (let index = 1; index < places.length; index++) {
    if (startAt(index) >= startAt(index - 1)) continue
    const place = places[index]!
    const above = places[index - 1]!
    remarks.add('clock-backwards', line[place]!)
    if (startAt(index + 1) < startAt(index - 1) || filterOf[place] !== filterOf[above]) continue
    sorted ??= places.slice().sort((one, other) => startSeconds[one]! - startSeconds[other]!)
    if (fits(place, sorted)) continue
    mended ??= startSeconds.slice()
    mended[place] = startSeconds[above]! + subSeconds[above]!
  }
  return mended ?? startSeconds

  function fits(place: number, sorted: Uint32Array): boolean {
    const start = startSeconds[place]!
    const length = subSeconds[place]!
    const at = firstFrom(start, sorted)
    const before = sorted[at - 1]
    const after = sorted[sorted[at] === place ? at + 1 : at]
    const gapBefore = before === undefined ? Infinity : start - startSeconds[before]! - subSeconds[before]!
    const gapAfter = after === undefined ? Infinity : startSeconds[after]! - start - length
    const gap = Math.min(gapBefore, gapAfter)
    return gap >= -TOUCH_SECONDS && gap <= Math.max(length, NEAR_SECONDS)
  }

  function firstFrom(start: number, sorted: Uint32Array): number {
    let low = 0
    let high = sorted.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (startSeconds[sorted[middle]!]! < start) low = middle + 1
      else high = middle
    }
    return low
  }
}
