// The best level that a quantity has had in the course of a session.

import { medianOf, valueAt } from './robust.ts'
import type { Series } from './series.ts'

/** What a level was found from: the median of a few neighbours. */
export interface Block {
  seconds: number
  level: number
}

const SMALLEST_BLOCK = 3
const USUAL_BLOCK = 9
const MOST_BLOCKS = 16

/**
 * Medians of neighbours, block by block.
 *
 * @param series  in order of time
 * @returns about five blocks at first, then blocks of nine or more, at most sixteen; none from fewer than three values
 * @derived medians, so that a single wild value moves no level
 */
export function blocksOf({ seconds, values }: Series): Block[] {
  const { length } = values
  const size = Math.max(SMALLEST_BLOCK, Math.min(USUAL_BLOCK, Math.floor(length / 5)), Math.ceil(length / MOST_BLOCKS))
  const blocks: Block[] = []
  for (let from = 0; from + size <= length; from += size) {
    blocks.push({ seconds: valueAt(seconds, from + (size >> 1)), level: medianOf(values.slice(from, from + size)) })
  }
  return blocks
}

/** Which level of a session is its best, and how fast a harmless one may drift away from it. */
export interface LevelModel {
  best: 'highest' | 'lowest'
  sharePerHour: number
}

/**
 * The best level of a session as it would stand at each of many times: the highest (or lowest) block, worsened by a share of
 * the best of all for every hour between, as a target does that sinks into thicker air.
 *
 *     highest: maxᵢ(Lᵢ − d |t − tᵢ|),   lowest: minᵢ(Lᵢ + d |t − tᵢ|)
 *
 * @param blocks  in order of time
 * @param seconds  the times, in order, on the clock of the blocks
 * @returns one level for each time; not finite without blocks
 * @derived extremum over the blocks behind and ahead, each kept in one pass
 */
export function bestLevels(
  blocks: readonly Block[],
  seconds: readonly number[],
  { best, sharePerHour }: LevelModel,
): number[] {
  const sign = best === 'highest' ? 1 : -1
  const most = blocks.reduce((found, { level }) => Math.max(found, sign * level), -Infinity)
  const drift = blocks.length === 0 ? 0 : (sharePerHour / 3600) * Math.abs(most)
  const ahead = new Array<number>(blocks.length + 1).fill(-Infinity)
  blocks.toReversed().forEach(({ seconds: at, level }, back) => {
    const place = blocks.length - 1 - back
    ahead[place] = Math.max(valueAt(ahead, place + 1), sign * level - drift * at)
  })
  let behind = -Infinity
  let passed = 0
  return seconds.map((time) => {
    for (let block = blocks[passed]; block !== undefined && block.seconds <= time; block = blocks[++passed]) {
      behind = Math.max(behind, sign * block.level + drift * block.seconds)
    }
    return sign * Math.max(behind - drift * time, valueAt(ahead, passed) + drift * time)
  })
}
