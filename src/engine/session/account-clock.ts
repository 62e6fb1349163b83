// Where the time of a log went: nights, exposure, dead time and pauses.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { CamerasAtWork, TOUCH_SECONDS } from './cameras-at-work.ts'
import { ColumnMemory } from './column-memory.ts'

/** Without a sub for longer than this, a night is over: shorter than any day below the polar circles, six hours. */
export const NIGHT_GAP_SECONDS = 21600

/**
 * A wait so many times the usual one is a pause, no longer the dead time of a sub; waits of a minute never are one, and half
 * an hour always is: common practice, no source.
 */
const PAUSE = { ofUsual: 5, least: 60, most: 1800 }

/** What became of the clock between the starts of subs: a column each. */
export class SubClocks {
  /** Number of the night, from 0. */
  readonly night: Uint32Array
  /** Index of the sub before it on its camera; −1 for the first of a camera in a night. */
  readonly before: Int32Array
  /** 1 for a sub that began before the one before it ended. */
  readonly isOverlapping: Uint8Array
  /** Time on the clock that each sub takes: its exposure, and what follows until the next one of its camera. */
  readonly clockSeconds: Float64Array
  readonly deadSeconds: Float64Array
  readonly pauseSeconds: Float64Array

  constructor(count: number, memory: ColumnMemory) {
    this.night = memory.uint32(count)
    this.before = memory.int32(count).fill(-1)
    this.isOverlapping = memory.uint8(count)
    this.clockSeconds = memory.float64(count)
    this.deadSeconds = memory.float64(count)
    this.pauseSeconds = memory.float64(count)
  }
}

/**
 * Time on the clock for each sub of a log.
 *
 * Subs that overlap are those of several cameras: each takes the time that it takes on its own camera, so that the clock of
 * subs is never below their exposure. Of which camera a sub is nobody says; it follows the one that ended last before it.
 *
 * @param startSeconds  of each sub, not falling
 * @param subSeconds  of each sub
 * @param filters  of each sub
 * @param memory  for the columns
 * @returns columns as long as these
 * @derived intervals between the ends of a camera's subs and its next start
 */
export function clockOfSubs(
  startSeconds: Float64Array,
  subSeconds: Float64Array,
  filters: Uint8Array,
  memory = new ColumnMemory(),
): SubClocks {
  const count = startSeconds.length
  const clocks = new SubClocks(count, memory)
  const cameras = new CamerasAtWork()
  let night = -1
  let end = -Infinity
  for (let index = 0; index < count; index++) {
    const start = startSeconds[index]!
    const stop = start + subSeconds[index]!
    if (start - end > NIGHT_GAP_SECONDS) {
      night++
      cameras.leave()
    }
    const { before, idleSeconds } = cameras.take({ index, start, stop, filter: filters[index]! })
    if (before !== null) {
      clocks.deadSeconds[before] = idleSeconds
      clocks.before[index] = before
    }
    clocks.night[index] = night
    clocks.isOverlapping[index] = start < end - TOUCH_SECONDS ? 1 : 0
    clocks.clockSeconds[index] = subSeconds[index]!
    end = Math.max(end, stop)
  }
  partPauses(
    clocks,
    memory.within(() => longestWait(clocks.deadSeconds, memory)),
  )
  return clocks
}

/** A gap goes to the sub before it, and was taken for dead time so far. */
function partPauses({ clockSeconds, pauseSeconds, deadSeconds }: SubClocks, longest: number): void {
  for (let index = 0; index < deadSeconds.length; index++) {
    const gap = deadSeconds[index]!
    clockSeconds[index] = clockSeconds[index]! + gap
    if (gap <= longest) continue
    pauseSeconds[index] = gap
    deadSeconds[index] = 0
  }
}

/** What is longer is a pause. */
function longestWait(gaps: Float64Array, memory: ColumnMemory): number {
  const waits = memory.float64(gaps.length)
  let count = 0
  for (const gap of gaps) if (gap > 0) waits[count++] = gap
  const sorted = waits.subarray(0, count).sort()
  const usual = sorted[(count - 1) >> 1] ?? 0
  return Math.min(PAUSE.most, Math.max(PAUSE.least, PAUSE.ofUsual * usual))
}
