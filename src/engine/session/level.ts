// The best level that a quantity has had in the course of a session.

import { medianOf, valueAt } from './robust.ts'
import type { Series } from './series.ts'

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
  for (let from = 0; length >= size && from < length; from += size) {
    const first = Math.min(from, length - size)
    const level = medianOf(values.slice(first, first + size))
    const last = first + size - 1
    blocks.push({ fromSeconds: valueAt(seconds, first + quarter), toSeconds: valueAt(seconds, last - quarter), level })
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

/**
 * The best level of a session as it would stand at each of many times: the highest (or lowest) block, worsened for the time
 * between, as a target does that sinks into thicker air, which ends somewhere.
 *
 *     highest: max(maxᵢ Lᵢ e^(−d Δᵢ), (1 − m) maxᵢ Lᵢ),   lowest: min(minᵢ Lᵢ e^(d Δᵢ), (1 + m) minᵢ Lᵢ)
 *
 * Δᵢ is the time from the block, 0 within it.
 *
 * @param blocks  in order of time, their levels ≥ 0 where the drift is to make sense
 * @param seconds  the times, in order, on the clock of the blocks
 * @returns one level for each time; not finite without blocks
 * @derived extremum over the blocks behind, about and ahead; behind and ahead each kept in one pass, since drifts add
 */
export function bestLevels(blocks: readonly Block[], seconds: readonly number[], model: LevelModel): number[] {
  // Turned about, the lowest is the highest.
  const sign = model.best === 'highest' ? 1 : -1
  const drift = driftOf(model)
  const bound = (sign - model.mostShare) * bestLevel(blocks, model.best)
  const levels = blocks.map(({ level }) => sign * level)
  const ahead = levelsAhead(blocks, sign, drift)
  let behind = -Infinity
  let behindSeconds = 0
  let passed = 0
  let next = 0
  return seconds.map((time) => {
    for (let block = blocks[passed]; block !== undefined && block.toSeconds < time; block = blocks[++passed]) {
      behind = Math.max(valueAt(levels, passed), behind * drift(block.toSeconds - behindSeconds))
      behindSeconds = block.toSeconds
    }
    while ((blocks[next]?.fromSeconds ?? Infinity) <= time) next++
    let level = bound
    for (let place = passed; place < next; place++) level = Math.max(level, valueAt(levels, place))
    // Powers take time, and most levels are no better even without a drift.
    if (behind > level) level = Math.max(level, behind * drift(time - behindSeconds))
    const coming = blocks[next]
    if (coming === undefined || valueAt(ahead, next) <= level) return sign * level
    return sign * Math.max(level, valueAt(ahead, next) * drift(coming.fromSeconds - time))
  })
}

/** No drift is followed for longer, so that its powers stay numbers. */
const LONGEST_SECONDS = 1e6

/** What a level is multiplied by in a time. */
function driftOf({ best, sharePerHour }: LevelModel): (seconds: number) => number {
  const perSecond = ((best === 'highest' ? -1 : 1) * sharePerHour) / 3600
  return (seconds) => Math.exp(perSecond * Math.min(Math.abs(seconds), LONGEST_SECONDS))
}

/** Best level of each block and those after it, as it would stand at its beginning. */
function levelsAhead(blocks: readonly Block[], sign: number, drift: (seconds: number) => number): number[] {
  const ahead: number[] = []
  let best = -Infinity
  let seconds = 0
  for (const { fromSeconds, level } of blocks.toReversed()) {
    best = Math.max(sign * level, best * drift(seconds - fromSeconds))
    seconds = fromSeconds
    ahead.push(best)
  }
  return ahead.reverse()
}
