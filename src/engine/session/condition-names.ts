// What goes on, told apart by what moves together: cloud dims the stars and moves the background either way; the Moon
// lifts the background and leaves the stars; a lamp that passes lifts that of a single sub; frost dims the stars and
// widens them while the cooler holds; poor guiding widens them and takes no light; a failing cooler shows in its
// temperature.

import { ALONE, hasLeftLastingly, JOINTLY, type ExcursionCourse } from './excursion.ts'
import { valueAt } from './robust.ts'
import type { SkyColumns } from './sky-columns.ts'
import type { TemperatureState } from './temperature-course.ts'

export type ConditionName =
  | 'cloud'
  | 'frost'
  | 'moonlight'
  | 'passing-light'
  | 'brighter-background'
  | 'darker-background'
  | 'cooling-failure'
  | 'colder-than-set-point'
  | 'guiding'
  | 'focus'
  | 'wide-stars'
  | 'clipped-background'

/** Of the level: what matters, once it lasts. Common practice, no source. */
const RISEN_SHARE = 0.2
const WIDENED = { threshold: 0.08, deviations: JOINTLY }
const BLURRED = { threshold: 0.3, deviations: ALONE }
const LOSING = { threshold: 0.04, deviations: JOINTLY }
const GUIDING_WORSE = { threshold: 0.25, deviations: JOINTLY }
/** Of an error above this that may yet be chance nobody knows whether it widens the stars. */
const GUIDING_AS_GOOD = 0.15
const GUIDING_FAR = { threshold: 0.4, deviations: ALONE }

/** Cloud lifts the background by several times the share of light that it takes: as much is not put down to the Moon. */
const CLOUD_LIFT = 3

/** All that a sub is judged by. */
export interface Evidence {
  flux: ExcursionCourse
  width: ExcursionCourse
  /** By what share of the level the seeing may widen the stars. */
  widestSeeing: number
  guiding: ExcursionCourse
  /** 1 where the stars have lost light. */
  dimmed: Uint8Array
  sky: SkyColumns
  temperature: readonly TemperatureState[]
}

const NOTHING: ReadonlySet<ConditionName> = new Set()

/**
 * Names of what goes on in a sub.
 *
 * @param place  of the sub in the order of time
 * @param clipped  whether its background is at the top of the scale
 * @returns none when all is quiet
 * @derived from which quantities leave their levels together
 */
export function namesOf(evidence: Evidence, place: number, clipped: boolean): ReadonlySet<ConditionName> {
  const stars = starsName(evidence, place)
  const sky = skyName(evidence, place)
  const temperature = temperatureName(evidence.temperature[place])
  if (stars === null && sky === null && temperature === null && !clipped) return NOTHING
  const names = [stars, sky, temperature, clipped ? 'clipped-background' : null] as const
  return new Set(names.filter((name) => name !== null))
}

function temperatureName(state: TemperatureState | undefined): ConditionName | null {
  if (state === 'warm') return 'cooling-failure'
  return state === 'cold' ? 'colder-than-set-point' : null
}

/** Stars that lose light, grow wide, or both. */
function starsName(evidence: Evidence, place: number): ConditionName | null {
  const { flux, width, guiding, temperature } = evidence
  const dimmed = evidence.dimmed[place] === 1
  const widened = hasLeftLastingly(width, place, WIDENED)
  const blurred = widened && hasLeftLastingly(width, place, BLURRED)
  const beyondSeeing = widened && valueAt(width.lasting, place) > evidence.widestSeeing
  if ((dimmed && beyondSeeing) || (blurred && hasLeftLastingly(flux, place, LOSING))) {
    if (temperature[place] !== 'warm' && !hasLeftLastingly(guiding, place, GUIDING_WORSE)) return 'frost'
  }
  if (dimmed) return 'cloud'
  if (isGuiding(evidence, place, widened)) return 'guiding'
  if (!blurred) return null
  return valueAt(guiding.lasting, place) <= GUIDING_AS_GOOD ? 'focus' : 'wide-stars'
}

/** A guiding error that widens the stars, or is far too large where nobody measured them. */
function isGuiding({ width, guiding }: Evidence, place: number, widened: boolean): boolean {
  if (Number.isNaN(valueAt(width.now, place))) return hasLeftLastingly(guiding, place, GUIDING_FAR)
  return widened && hasLeftLastingly(guiding, place, GUIDING_WORSE)
}

/** A background that moved while, as far as is known, the stars lost no light. */
function skyName({ sky, dimmed, flux }: Evidence, place: number): ConditionName | null {
  if (!sky.isMeasured(place)) return null
  if (sky.spike[place] === 1) return 'passing-light'
  if (dimmed[place] === 1) return null
  // Most skies have not moved, and need no look at the stars.
  const [risenBy, fallenBy] = [valueAt(sky.rise, place), valueAt(sky.fall, place)]
  if (risenBy <= RISEN_SHARE && fallenBy <= RISEN_SHARE) return null
  const starsKnown = !Number.isNaN(valueAt(flux.now, place))
  const risen = starsKnown ? Math.max(RISEN_SHARE, CLOUD_LIFT * lostAtMost(flux, place)) : RISEN_SHARE
  // Of a level that has just jumped the next sub tells whether it jumped for good.
  if (risenBy > risen && valueAt(sky.rise, place - 1) > RISEN_SHARE / 2) {
    return starsKnown ? 'moonlight' : 'brighter-background'
  }
  return !starsKnown && fallenBy > RISEN_SHARE ? 'darker-background' : null
}

/** Share of their light that the stars may have lost lately. */
function lostAtMost({ now, lasting, scatter }: ExcursionCourse, place: number): number {
  return Math.max(0, valueAt(lasting, place), valueAt(now, place) - scatter) + 0.7 * scatter
}
