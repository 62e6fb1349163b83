// Lights that pass, as of a car: the background of one sub stands out from its neighbours. A sub that has others behind it
// is held against both sides; the last one against where those before it lead.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { medianOfThree, valueAt } from './robust.ts'
import { DARK_LAW_SHARE, lastPlaces, type FilterPlaces, type SkyColumns } from './sky-columns.ts'

/** Deviations by which a light stands out from the noise. */
const DEVIATIONS = 6

/** Of the level: what stands out between neighbours, and what does with none behind it yet. Common practice, no source. */
const BETWEEN_SHARE = 0.04
const LAST_SHARE = 0.06

/** With no sub behind it, it must have come faster than the Moon does; share a second. Common practice, no source. */
const MOON_SHARE_PER_SECOND = 0.08 / 60

/** And by more than so many steps of a change that is under way or has just begun. */
const STEPS = 3

/** Between neighbours: more than this share of the step that they are apart, of which a plain step has a half. */
const STEP_SHARE = 0.75

/** Cloud moves the background by no more than this many times the change in the stars' light, mostly by this many. */
const CLOUD_LIFT = { most: 6, mostly: 2 }

/** Scatter of flux that a difference of two subs may show by chance. */
const FLUX_DEVIATIONS = 3

/**
 * Marks the subs of one filter that a light passed over.
 *
 * @param skies  their ratios known
 * @param places  of the subs of the filter
 * @param fluxScatter  of the stars' light from sub to sub, as a share
 * @returns nothing; sets `spike` and `late`
 * @derived six deviations from where the neighbours lead, and more than Moon and cloud could do between two subs
 */
export function markPassingLights(skies: SkyColumns, places: FilterPlaces, fluxScatter: number): void {
  const { spike, late } = skies
  mark(skies, { places, spike, fluxScatter, quiet: undefined, quietBefore: undefined })
  // What was certain before the last sub, for the two subs before it.
  const before = new Uint8Array(spike.length)
  const without = places.slice(-MEMORY, -1)
  mark(skies, { places: without, spike: before, fluxScatter, quiet: undefined, quietBefore: undefined })
  for (const at of places.slice(-3, -1)) late[at] = Number(spike[at] === 1 && before[at] === 0)
}

/** Subs that a mark can hang on. */
const MEMORY = 20

/** Subs of one filter, and which of them a light passed over, as far as was found. */
interface Stretch {
  places: FilterPlaces
  spike: Uint8Array
  fluxScatter: number
  /** The last sub so far that none passed over, and the one before it. */
  quiet: number | undefined
  quietBefore: number | undefined
}

function mark(skies: SkyColumns, stretch: Stretch): void {
  const { places, spike } = stretch
  for (let index = 0; index < places.length; index++) {
    const at = places[index]!
    const isLast = index === places.length - 1
    const standsOut = isLast ? standsOutLast(skies, stretch) : standsOutBetween(skies, stretch, index)
    spike[at] = Number(standsOut)
    if (standsOut) continue
    stretch.quietBefore = stretch.quiet
    stretch.quiet = at
  }
}

/**
 * With others behind it: against the line from the quiet sub before to the lower of the two after. Where these are a step
 * apart it must stand out from most of the step, or from where two on either side lead: what rises steadily leads to it from
 * both. With no quiet sub before a fall may be dusk under way, so there it must stand out as the last sub must from a rise.
 */
function standsOutBetween(
  skies: SkyColumns,
  { places, fluxScatter, quiet, quietBefore }: Stretch,
  index: number,
): boolean {
  const { ratio, seconds, lostShare } = skies
  const at = places[index]!
  const next = places[index + 1]!
  const afterNext = places[index + 2]
  const after = afterNext !== undefined && ratio[afterNext]! < ratio[next]! ? afterNext : next
  const before = quiet ?? (after === next ? afterNext : next)
  if (before === undefined) return false
  const way = quiet === undefined ? 0.5 : (seconds[at]! - seconds[before]!) / (seconds[after]! - seconds[before]!)
  const fall = quiet === undefined && after === afterNext ? fallInto(skies, at, next, after) : 0
  const expected = fall > 0 ? ratio[next]! + fall : ratio[before]! + way * (ratio[after]! - ratio[before]!)
  const lost = lostShare[before]! + way * (lostShare[after]! - lostShare[before]!)
  const noise = noiseOf(skies, at, before, after)
  const led = Math.max(ledTo(skies, at, quiet, quietBefore), ledTo(skies, at, next, afterNext))
  const tolerance = Math.max(
    noise,
    BETWEEN_SHARE * expected,
    Math.min(
      STEP_SHARE * Math.abs(ratio[after]! - ratio[before]!),
      led - expected + Math.max(LED_NOISE * noise, BETWEEN_SHARE * expected),
    ),
    STEPS * fall,
    cloudShare(skies, at, lost, fluxScatter) * expected,
  )
  return ratio[at]! - expected > tolerance
}

/** Where a line leads is twice as uncertain as what lies between: √(1 + 2² + 1²) against √(1 + ½² + ½²). */
const LED_NOISE = 2

/** Where the line through two others leads, the nearer one first; out of reach where there are no two. */
function ledTo({ ratio, seconds }: SkyColumns, at: number, near: number | undefined, far: number | undefined): number {
  if (near === undefined || far === undefined) return Infinity
  const longer = (seconds[at]! - seconds[near]!) / (seconds[near]! - seconds[far]!)
  return ratio[near]! + Math.min(LONGEST_LEAD, longer) * (ratio[near]! - ratio[far]!)
}

/** By how much the background fell into the next sub if it fell as it does from there on. */
function fallInto({ ratio, seconds }: SkyColumns, at: number, next: number, after: number): number {
  const longer = (seconds[next]! - seconds[at]!) / (seconds[after]! - seconds[next]!)
  return Math.min(LONGEST_LEAD, longer) * (ratio[next]! - ratio[after]!)
}

/** Quiet subs that lead to the last one. */
const LEADING_SUBS = 6

/** The last sub: against where those before it lead. */
function standsOutLast(skies: SkyColumns, { places, spike, fluxScatter }: Stretch): boolean {
  const { ratio, seconds, lostShare } = skies
  const at = places.at(-1)!
  const quiet = lastPlaces(places, LEADING_SUBS, (one) => one !== at && spike[one] === 0)
  const last = quiet.at(-1)
  const before = quiet.at(-2)
  if (last === undefined || before === undefined) return false
  const ratios = quiet.map((one) => ratio[one]!)
  const lasts = seconds[at]! - seconds[last]!
  const longer = Math.min(LONGEST_LEAD, Math.max(1, lasts / (seconds[last]! - seconds[before]!)))
  const step = longer * stepOf(ratios)
  const begun = ratios.length < 4 ? 0 : longer * (ratio[last]! - levelOf(ratios, ratios.length - 1))
  const onward = ratio[last]! + longer * Math.max(0, stepBack(ratios, 1))
  const expected = ratios.length < 3 ? onward : Math.max(levelOf(ratios, ratios.length) + 2 * step, onward)
  const tolerance = Math.max(
    noiseOf(skies, at, last, before),
    LAST_SHARE * expected,
    MOON_SHARE_PER_SECOND * lasts * expected,
    STEPS * Math.abs(step),
    STEPS * begun,
    cloudShare(skies, at, lostShare[last]!, fluxScatter) * expected,
  )
  return ratio[at]! - expected > tolerance
}

/** A change is not followed for longer than so many of its last steps. */
const LONGEST_LEAD = 5

/** By how much the level moves from sub to sub: a change that is over has stopped, one that has just begun goes on. */
function stepOf(ratios: readonly number[]): number {
  const { length } = ratios
  const lastStep = stepBack(ratios, 1)
  if (length === 2) return lastStep
  const slope = length < 6 ? stepBack(ratios, 2) / 2 : (levelOf(ratios, length) - levelOf(ratios, length - 3)) / 3
  return Math.sign(slope) * Math.min(Math.abs(slope), Math.abs(lastStep))
}

/** From so many subs back to the last. */
function stepBack(ratios: readonly number[], back: number): number {
  return valueAt(ratios, ratios.length - 1) - valueAt(ratios, ratios.length - 1 - back)
}

/** Median of the three before a place. */
function levelOf(ratios: readonly number[], end: number): number {
  return medianOfThree(valueAt(ratios, end - 1), valueAt(ratios, end - 2), valueAt(ratios, end - 3))
}

/** Six deviations of a sub from the mean of two others; of the dark current only what they don't share is uncertain. */
function noiseOf({ noise, darkRatio }: SkyColumns, at: number, first: number, second: number): number {
  const dark = DARK_LAW_SHARE * (darkRatio[at]! - (darkRatio[first]! + darkRatio[second]!) / 2)
  return DEVIATIONS * Math.sqrt(noise[at]! ** 2 + (noise[first]! ** 2 + noise[second]! ** 2) / 4 + dark ** 2)
}

/** Share of the background that cloud may have put there. */
function cloudShare({ lostShare, dimmed }: SkyColumns, at: number, lost: number, fluxScatter: number): number {
  const chance = FLUX_DEVIATIONS * fluxScatter
  const changed = Math.max(0, Math.abs(lostShare[at]! - lost) - chance)
  return CLOUD_LIFT.most * changed + (dimmed[at] === 1 ? CLOUD_LIFT.mostly * chance : 0)
}
