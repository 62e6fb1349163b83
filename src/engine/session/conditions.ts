// The courses of a session, and what goes on in each of its subs.

import { namesOf, type ConditionName, type Evidence } from './condition-names.ts'
import { excursionCourse, hasLeft, type ExcursionCourse } from './excursion.ts'
import { MEDIAN_MAGNITUDE, medianOf, valueAt } from './robust.ts'
import type { Column } from './series.ts'
import type { SkyColumns } from './sky-columns.ts'
import { skyCourse, type SkyQuestion } from './sky-course.ts'
import { temperatureCourse } from './temperature-course.ts'

export interface SessionCourse {
  sky: SkyColumns
  flux: ExcursionCourse
  /** Dark current in each sub. */
  darkElectronsPerSecond: Float64Array
  /** Names of what goes on in each sub. */
  names: ReadonlySet<ConditionName>[]
}

/** Of the stars’ light: what matters, once it lasts. Common practice, no source. */
const DIMMED_SHARE = 0.08

/**
 * Harmless drifts: a target that sinks from the zenith to 25° above the horizon loses about a quarter of its light, and air
 * and seeing widen its stars. Common practice, no source.
 */
const FLUX_DRIFT = { sharePerHour: 0.1, mostShare: 0.25 }
const WIDTH_DRIFT = { sharePerHour: 0.1, mostShare: 0.2 }

/** Stars are believed to have been so bright, and so narrow, at the first sub, even if the session never shows it. */
const BELIEVED_FLUX = 0.75
const BELIEVED_WIDTH = 1.25

/** Fewer undimmed subs don't show how far the seeing swings. */
const FEWEST_OF_SEEING = 8

/** Deviations of the seeing that stars hardly widen by. */
const SEEING_DEVIATIONS = 4

/**
 * Seeing may widen them by the least of this though the subs show no such swing; frost, once it matters, by more than the
 * most. Common practice, no source.
 */
const SEEING_WIDENS = { least: 0.15, most: 0.2 }

/**
 * By what share of the level the seeing may widen the stars: its deviation is told by the narrower half of the undimmed
 * subs, among which none is widened by guiding or focus.
 */
function widestOfSeeing(lasting: Column, dimmed: Uint8Array): number {
  const widths: number[] = []
  for (let place = 0; place < dimmed.length; place++) {
    const by = valueAt(lasting, place)
    if (dimmed[place] === 0 && !Number.isNaN(by)) widths.push(by)
  }
  if (widths.length < FEWEST_OF_SEEING) return SEEING_WIDENS.least
  const usual = medianOf(widths)
  const narrower = usual - medianOf(widths.filter((by) => by <= usual))
  const { least, most } = SEEING_WIDENS
  return Math.max(least, Math.min(most, usual + (SEEING_DEVIATIONS * narrower) / MEDIAN_MAGNITUDE))
}

export interface CourseQuestion extends Pick<SkyQuestion, 'subs' | 'readVariance' | 'roundingVariance'> {
  /** Dark current at a temperature, at the set-point where it is NaN; electrons per second. */
  darkElectronsPerSecond: (celsius: number) => number
  /** Where the sensor should be; null when nobody said. */
  setPointCelsius: number | null
  /** Whether `fwhm` is against a reference, so that 1 is as it should be. */
  fwhmIsRelative: boolean
}

/**
 * Course of a session and what goes on in each of its subs.
 *
 * @param input.subs  in order of time
 * @returns names by sub, and the courses they were told from
 * @derived from which quantities leave their levels together
 */
export function sessionCourse(input: CourseQuestion): SessionCourse {
  const { subs } = input
  const flux = excursionCourse(subs.startSeconds, subs.starFlux, {
    best: 'highest',
    prior: { deviation: 0.03, weight: 10 },
    ...FLUX_DRIFT,
    believedLevel: BELIEVED_FLUX,
  })
  const width = excursionCourse(subs.startSeconds, subs.fwhm, {
    best: 'lowest',
    prior: { deviation: 0.04, weight: 10 },
    ...WIDTH_DRIFT,
    believedLevel: input.fwhmIsRelative ? BELIEVED_WIDTH : null,
  })
  const guiding = excursionCourse(subs.startSeconds, subs.guidingErrorArcsec, {
    best: 'lowest',
    prior: { deviation: 0.1, weight: 10 },
    ...WIDTH_DRIFT,
    believedLevel: null,
  })
  const { length } = subs.startSeconds
  const dimmed = new Uint8Array(length)
  const darkElectronsPerSecond = new Float64Array(length)
  for (let place = 0; place < length; place++) {
    dimmed[place] = Number(hasLeft(flux, place, DIMMED_SHARE))
    darkElectronsPerSecond[place] = input.darkElectronsPerSecond(valueAt(subs.sensorCelsius, place))
  }
  const sky = skyCourse({
    ...input,
    darkElectronsPerSecond,
    setPointElectronsPerSecond: input.darkElectronsPerSecond(NaN),
    dimmed,
    lostShare: flux.now,
    fluxScatter: flux.scatter,
  })
  const temperature = temperatureCourse(subs, input.setPointCelsius)
  const widestSeeing = dimmed.includes(1) ? widestOfSeeing(width.lasting, dimmed) : 0
  const evidence: Evidence = { flux, width, widestSeeing, guiding, dimmed, sky, temperature }
  const names: ReadonlySet<ConditionName>[] = []
  for (let place = 0; place < length; place++) names.push(namesOf(evidence, place, subs.isClipped[place] === 1))
  return { sky, flux, darkElectronsPerSecond, names }
}
