// How far a quantity of each sub has left the best level of the session, against its own scatter. Star flux falls below
// its highest level, the width of stars and the guiding error rise above their lowest.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { bestLevel, bestLevels, blocksOf, type Block, type LevelModel } from './level.ts'
import { BEND_GAIN, bendsOf, medianOf, medianOfThree, scatterOf, valueAt, type ScatterPrior } from './robust.ts'
import { measuredSeries, spreadOut, type Column } from './series.ts'

/** One number for each sub, in order of time; NaN where nothing was measured. */
export interface ExcursionCourse {
  values: Column
  /** The session's best level, as it would stand at the sub. */
  level: Column
  /** The best of the session, however long ago; NaN where nothing was measured. */
  best: number
  /** By what share of the level the sub is worse; negative when better. */
  now: Column
  /** The same of the median of the sub and the two before it. */
  lasting: Column
  /** Scatter of one sub, as a share of the level. */
  scatter: number
}

export interface ExcursionModel extends LevelModel {
  /** What is believed of the scatter before it is measured, as a share of the level. */
  prior: ScatterPrior
  /** A level that is believed at the first sub even if the session never shows it; null for none. */
  believedLevel: number | null
}

/**
 * Course of one quantity through the session.
 *
 * @param startSeconds  of the subs, in order of time
 * @param ofAll  the quantity in each, > 0 where the level is to make sense; NaN where it wasn't measured
 * @returns each sub's excursion from the best level
 * @derived medians against the best block of the session
 */
export function excursionCourse(
  startSeconds: Float64Array,
  ofAll: Float64Array,
  model: ExcursionModel,
): ExcursionCourse {
  const series = measuredSeries(startSeconds, ofAll)
  const { seconds, values } = series
  if (values.length === 0) {
    return { values: ofAll, level: ofAll, now: ofAll, lasting: ofAll, best: NaN, scatter: model.prior.deviation }
  }
  const blocks = blocksOf(series)
  const first = valueAt(seconds, 0)
  if (blocks.length === 0) blocks.push(at(first, medianOf(values)))
  const scatter = relativeScatter(values, medianOf(blocks.map(({ level }) => level)), model.prior)
  if (model.believedLevel !== null) blocks.unshift(at(first, model.believedLevel))
  const sign = model.best === 'highest' ? 1 : -1
  const levels = bestLevels(blocks, seconds, model)
  const now = new Float64Array(values.length)
  const lasting = new Float64Array(values.length)
  for (let index = 0; index < values.length; index++) {
    const level = levels[index]!
    const scale = level > 0 ? sign / level : 0
    now[index] = scale * (level - values[index]!)
    lasting[index] = scale * (level - recentMedian(values, index))
  }
  return {
    values: ofAll,
    level: spreadOut(levels, series),
    now: spreadOut(now, series),
    lasting: spreadOut(lasting, series),
    best: bestLevel(blocks, model.best),
    scatter,
  }
}

function at(seconds: number, level: number): Block {
  return { fromSeconds: seconds, toSeconds: seconds, level }
}

/** Median of a value and the two before it; of the first two what there is. */
function recentMedian(values: Float64Array, place: number): number {
  const value = values[place]!
  if (place === 0) return value
  const before = values[place - 1]!
  return place === 1 ? (value + before) / 2 : medianOfThree(value, before, values[place - 2]!)
}

function relativeScatter(values: Column, typical: number, prior: ScatterPrior): number {
  const bends = typical > 0 ? bendsOf(values).map((bend) => bend / typical) : []
  return scatterOf(bends, BEND_GAIN, prior)
}

/** Deviations of one sub that a median of three must be off: alone, and where a second quantity bears witness. */
export const ALONE = 4.5
export const JOINTLY = 2.6

/** What no scatter explains, at once and lasting, as a share of the level: of a few wild subs the scatter comes out large. */
const BEYOND_SCATTER = { now: 0.6, lasting: 0.4 }

/**
 * Whether a quantity has left its level in a sub: at once when far enough, else when it lasts.
 *
 * @param place  of the sub
 * @param threshold  share of the level that matters
 * @returns false where nothing was measured
 * @derived six deviations of one sub, or four and a half of it for the median of three, so that chance alone hardly does it;
 * or six tenths of the level, or four that last
 */
export function hasLeft(course: ExcursionCourse, place: number, threshold: number): boolean {
  const now = valueAt(course.now, place)
  const { scatter } = course
  if (now > Math.max(1.25 * threshold, Math.min(6 * scatter, BEYOND_SCATTER.now))) return true
  if (Math.min(now, valueAt(course.lasting, place)) > Math.max(threshold, BEYOND_SCATTER.lasting)) return true
  return (
    now > Math.max(0.6 * threshold, 2 * scatter) && hasLeftLastingly(course, place, { threshold, deviations: ALONE })
  )
}

/**
 * Whether the median of a sub and the two before it has left its level.
 *
 * @param by.threshold  share of the level that matters
 * @param by.deviations  {@link ALONE} or {@link JOINTLY}
 * @returns false where nothing was measured
 * @derived the median of three scatters by two thirds of one sub
 */
export function hasLeftLastingly(
  { lasting, scatter }: ExcursionCourse,
  place: number,
  { threshold, deviations }: { threshold: number; deviations: number },
): boolean {
  return valueAt(lasting, place) > Math.max(threshold, deviations * scatter)
}
