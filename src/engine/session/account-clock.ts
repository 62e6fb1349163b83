// Where the time of a log went: nights, exposure, dead time and pauses.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

/** Without a sub for longer than this, a night is over: shorter than any day below the polar circles, six hours. */
export const NIGHT_GAP_SECONDS = 21600

/** A wait longer than this is a pause, no longer the dead time of a sub: common practice, no source. */
export const PAUSE_SECONDS = 300

/** Starts are often written to the whole second; subs that touch within this do not overlap. */
const TOUCH_SECONDS = 1.5

/** What became of the clock between the starts of subs: a column each. */
export class SubClocks {
  /** Number of the night, from 0. */
  readonly night: Uint32Array
  /** 1 for the first sub of a night. */
  readonly isFirstOfNight: Uint8Array
  /** 1 for a sub that began before the one before it ended. */
  readonly isOverlapping: Uint8Array
  /** Time on the clock that goes to each sub: exposure and what follows until the next one. */
  readonly clockSeconds: Float64Array
  readonly deadSeconds: Float64Array
  readonly pauseSeconds: Float64Array

  constructor(count: number) {
    this.night = new Uint32Array(count)
    this.isFirstOfNight = new Uint8Array(count)
    this.isOverlapping = new Uint8Array(count)
    this.clockSeconds = new Float64Array(count)
    this.deadSeconds = new Float64Array(count)
    this.pauseSeconds = new Float64Array(count)
  }
}

/**
 * Time on the clock for each sub of a log.
 *
 * Every second between the first start of a night and its last end goes to exactly one sub. Where subs overlap, as those of
 * two cameras do, what is covered twice is counted once.
 *
 * @param startSeconds  of each sub, not falling
 * @param subSeconds  of each sub
 * @returns columns as long as these
 * @derived intervals between the ends so far and the next start
 */
export function clockOfSubs(startSeconds: Float64Array, subSeconds: Float64Array): SubClocks {
  const clocks = new SubClocks(startSeconds.length)
  let night = -1
  let end = -Infinity
  for (let index = 0; index < startSeconds.length; index++) {
    const start = startSeconds[index]!
    const gap = start - end
    const stop = start + subSeconds[index]!
    if (gap > NIGHT_GAP_SECONDS) {
      night++
      clocks.isFirstOfNight[index] = 1
    } else if (gap > 0) addGap(clocks, index - 1, gap)
    clocks.night[index] = night
    clocks.isOverlapping[index] = gap < -TOUCH_SECONDS ? 1 : 0
    clocks.clockSeconds[index] = Math.max(0, stop - Math.max(end, start))
    end = Math.max(end, stop)
  }
  return clocks
}

/** A gap goes to the sub before it. */
function addGap(clocks: SubClocks, index: number, gap: number): void {
  clocks.clockSeconds[index] = clocks.clockSeconds[index]! + gap
  if (gap > PAUSE_SECONDS) clocks.pauseSeconds[index] = gap
  else clocks.deadSeconds[index] = gap
}
