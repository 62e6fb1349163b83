// Lights that pass, as of a car: the background of one sub stands out from its neighbours. A sub that has others behind it
// is held against both sides; the last one against where those before it lead.

import { medianOfThree, valueAt } from './robust.ts'
import { DARK_LAW_SHARE, type SkyOfSub } from './sky-of-sub.ts'

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
 * @param skies  in order of time
 * @param fluxScatter  of the stars' light from sub to sub, as a share
 * @returns nothing; sets `spike` and `late`
 * @derived six deviations from where the neighbours lead, and more than Moon and cloud could do between two subs
 */
export function markPassingLights(skies: readonly SkyOfSub[], fluxScatter: number): void {
  mark(skies, fluxScatter)
  // What was certain before the last sub, for the two subs before it.
  const before = skies.slice(-MEMORY, -1).map((sky) => ({ ...sky }))
  mark(before, fluxScatter)
  for (const back of [-1, -2]) {
    const sky = skies.at(back - 1)
    if (sky !== undefined) sky.late = sky.spike && before.at(back)?.spike === false
  }
}

/** Subs that a mark can hang on. */
const MEMORY = 20

function mark(skies: readonly SkyOfSub[], fluxScatter: number): void {
  const quiet: SkyOfSub[] = []
  skies.forEach((sky, index) => {
    const next = skies[index + 1]
    const afterNext = skies[index + 2]
    if (next === undefined) sky.spike = standsOutLast(sky, quiet, fluxScatter)
    else sky.spike = standsOut(sky, { quiet, next, afterNext }, fluxScatter)
    if (!sky.spike) quiet.push(sky)
  })
}

/** With others behind it: against the line from the neighbour before to the lower of the two after. */
function standsOut(
  sky: SkyOfSub,
  { quiet, next, afterNext }: { quiet: readonly SkyOfSub[]; next: SkyOfSub; afterNext: SkyOfSub | undefined },
  fluxScatter: number,
): boolean {
  const after = afterNext !== undefined && afterNext.ratio < next.ratio ? afterNext : next
  const before = quiet.at(-1) ?? (after === next ? afterNext : next)
  if (before === undefined) return false
  const way = quiet.length === 0 ? 0.5 : (sky.seconds - before.seconds) / (after.seconds - before.seconds)
  const expected = before.ratio + way * (after.ratio - before.ratio)
  const lost = before.lostShare + way * (after.lostShare - before.lostShare)
  const tolerance = Math.max(
    noiseOf(sky, [before, after]),
    BETWEEN_SHARE * expected,
    STEP_SHARE * Math.abs(after.ratio - before.ratio),
    cloudShare(sky, lost, fluxScatter) * expected,
  )
  return sky.ratio - expected > tolerance
}

/** The last sub: against where those before it lead. */
function standsOutLast(sky: SkyOfSub, quiet: readonly SkyOfSub[], fluxScatter: number): boolean {
  const last = quiet.at(-1)
  const before = quiet.at(-2)
  if (last === undefined || before === undefined) return false
  const ratios = quiet.slice(-6).map(({ ratio }) => ratio)
  const lasts = sky.seconds - last.seconds
  const longer = Math.min(LONGEST_LEAD, Math.max(1, lasts / (last.seconds - before.seconds)))
  const step = longer * stepOf(ratios)
  const begun = ratios.length < 4 ? 0 : longer * (last.ratio - levelOf(ratios, ratios.length - 1))
  const onward = last.ratio + longer * Math.max(0, stepBack(ratios, 1))
  const expected = ratios.length < 3 ? onward : Math.max(levelOf(ratios, ratios.length) + 2 * step, onward)
  const tolerance = Math.max(
    noiseOf(sky, [last, before]),
    LAST_SHARE * expected,
    MOON_SHARE_PER_SECOND * lasts * expected,
    STEPS * Math.abs(step),
    STEPS * begun,
    cloudShare(sky, last.lostShare, fluxScatter) * expected,
  )
  return sky.ratio - expected > tolerance
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
function noiseOf(sky: SkyOfSub, [first, second]: readonly [SkyOfSub, SkyOfSub]): number {
  const dark = DARK_LAW_SHARE * (sky.darkRatio - (first.darkRatio + second.darkRatio) / 2)
  return DEVIATIONS * Math.sqrt(sky.noise ** 2 + (first.noise ** 2 + second.noise ** 2) / 4 + dark ** 2)
}

/** Share of the background that cloud may have put there. */
function cloudShare(sky: SkyOfSub, lostShare: number, fluxScatter: number): number {
  const chance = FLUX_DEVIATIONS * fluxScatter
  const changed = Math.max(0, Math.abs(sky.lostShare - lostShare) - chance)
  return CLOUD_LIFT.most * changed + (sky.dimmed ? CLOUD_LIFT.mostly * chance : 0)
}
