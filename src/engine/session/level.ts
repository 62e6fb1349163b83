// The best level that a quantity has had in the course of a session.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { medianInPlace } from './robust.ts'
import type { Column, Series } from './series.ts'

/** What a level was found from: the median of a few neighbours, and from when to when the middle half of them were. */
export interface Block {
  fromSeconds: number
  toSeconds: number
  level: number
}

const SMALLEST_BLOCK = 3
const USUAL_BLOCK = 9
const MOST_BLOCKS = 16

/**
 * Medians of neighbours, block by block. Where they leave a few at the end, one more block ends with the last.
 *
 * @param series  in order of time
 * @returns about five blocks at first, then blocks of nine or more, at most seventeen; none from fewer than three values
 * @derived medians, so that a single wild value moves no level
 */
export function blocksOf({ seconds, values }: Series): Block[] {
  const { length } = values
  const size = Math.max(SMALLEST_BLOCK, Math.min(USUAL_BLOCK, Math.floor(length / 5)), Math.ceil(length / MOST_BLOCKS))
  const quarter = size >> 2
  const blocks: Block[] = []
  const members = new Float64Array(size)
  for (let from = 0; length >= size && from < length; from += size) {
    const first = Math.min(from, length - size)
    for (let member = 0; member < size; member++) members[member] = values[first + member]!
    const last = first + size - 1
    const level = medianInPlace(members)
    blocks.push({ fromSeconds: seconds[first + quarter]!, toSeconds: seconds[last - quarter]!, level })
  }
  return blocks
}

/** Which level of a session is its best, and how a harmless one may drift away from it. */
export interface LevelModel {
  best: 'highest' | 'lowest'
  /** By so much in an hour, as a share of the level. */
  sharePerHour: number
  /** But by no more than this in all, as a share of the best level of the session. */
  mostShare: number
}

/**
 * The best level of all.
 *
 * @returns not finite without blocks
 * @derived extremum
 */
export function bestLevel(blocks: readonly Block[], best: LevelModel['best']): number {
  const levels = blocks.map(({ level }) => level)
  return best === 'highest' ? Math.max(...levels) : Math.min(...levels)
}

/** No drift is followed for longer, so that its powers stay numbers. */
const LONGEST_SECONDS = 1e6

/**
 * The best level of a session as it would stand at one time after another: the highest (or lowest) block, worsened for the
 * time between, as a target does that sinks into thicker air, which ends somewhere.
 *
 *     highest: max(maxᵢ Lᵢ e^(−d Δᵢ), (1 − m) maxᵢ Lᵢ),   lowest: min(minᵢ Lᵢ e^(d Δᵢ), (1 + m) minᵢ Lᵢ)
 *
 * Δᵢ is the time from the block, 0 within it.
 *
 * @derived extremum over the blocks behind, about and ahead; behind and ahead each kept in one pass, since drifts add
 */
export class BestLevels {
  readonly #blocks: readonly Block[]
  /** Turned about, the lowest is the highest: all levels here are times this. */
  readonly #sign: 1 | -1
  readonly #driftPerSecond: number
  readonly #bound: number
  /** Best level of each block and those after it, as it would stand at its beginning. */
  readonly #ahead: Float64Array
  /** Blocks that have ended, and the best of them as it stood when the last of them ended. */
  #passed = 0
  #behind = -Infinity
  #behindSeconds = 0
  /** The first block that has not begun. */
  #next = 0

  /** @param blocks  in order of time, their levels ≥ 0 where the drift is to make sense */
  constructor(blocks: readonly Block[], model: LevelModel) {
    this.#blocks = blocks
    this.#sign = model.best === 'highest' ? 1 : -1
    this.#driftPerSecond = (-this.#sign * model.sharePerHour) / 3600
    this.#bound = (this.#sign - model.mostShare) * bestLevel(blocks, model.best)
    this.#ahead = new Float64Array(blocks.length)
    let best = -Infinity
    let seconds = 0
    for (let place = blocks.length - 1; place >= 0; place--) {
      const { fromSeconds, level } = blocks[place]!
      best = Math.max(this.#sign * level, best * this.#drift(seconds - fromSeconds))
      seconds = fromSeconds
      this.#ahead[place] = best
    }
  }

  /**
   * @param seconds  on the clock of the blocks, no earlier than that of the call before
   * @returns the level; not finite without blocks
   */
  at(seconds: number): number {
    this.#moveOn(seconds)
    let level = this.#bound
    for (let place = this.#passed; place < this.#next; place++) {
      level = Math.max(level, this.#sign * this.#blocks[place]!.level)
    }
    // Powers take time, and most levels are no better even without a drift.
    if (this.#behind > level) level = Math.max(level, this.#behind * this.#drift(seconds - this.#behindSeconds))
    const coming = this.#blocks[this.#next]
    if (coming === undefined || this.#ahead[this.#next]! <= level) return this.#sign * level
    return this.#sign * Math.max(level, this.#ahead[this.#next]! * this.#drift(coming.fromSeconds - seconds))
  }

  #moveOn(seconds: number): void {
    const blocks = this.#blocks
    let block = blocks[this.#passed]
    while (block !== undefined && block.toSeconds < seconds) {
      const passed = this.#behind * this.#drift(block.toSeconds - this.#behindSeconds)
      this.#behind = Math.max(this.#sign * block.level, passed)
      this.#behindSeconds = block.toSeconds
      block = blocks[++this.#passed]
    }
    while (this.#next < blocks.length && blocks[this.#next]!.fromSeconds <= seconds) this.#next++
  }

  /** What a level is multiplied by in a time. */
  #drift(seconds: number): number {
    return Math.exp(this.#driftPerSecond * Math.min(Math.abs(seconds), LONGEST_SECONDS))
  }
}

/**
 * {@link BestLevels} at each of many times.
 *
 * @param blocks  in order of time
 * @param seconds  the times, in order, on the clock of the blocks
 * @returns one level for each time; not finite without blocks
 * @derived as there
 */
export function bestLevels(blocks: readonly Block[], seconds: Column, model: LevelModel): Float64Array {
  const best = new BestLevels(blocks, model)
  const levels = new Float64Array(seconds.length)
  for (let place = 0; place < levels.length; place++) levels[place] = best.at(seconds[place]!)
  return levels
}
