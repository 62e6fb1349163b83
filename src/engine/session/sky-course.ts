// The sky behind each sub: its rate with the dark current taken off, and that against the darkest level of its filter. Each
// filter has a course of its own, so that filters and lengths may alternate.

import { blocksOf } from './level.ts'
import { markPassingLights } from './passing-lights.ts'
import { medianOf, scatterOfBends, valueAt, type ScatterPrior } from './robust.ts'
import { markLevels } from './sky-levels.ts'
import { DARK_LAW_SHARE, ratiosOf, type SkyOfSub } from './sky-of-sub.ts'
import type { SubRecord } from './sub-record.ts'

export interface SkyQuestion {
  subs: readonly SubRecord[]
  /** Dark current at a temperature, at the set-point where it is null; electrons per second. */
  darkElectronsPerSecond: (celsius: number | null) => number
  /** Of one read of a pixel of the frame, electrons². */
  readVariance: number
  /** Of the rounding of the background to whole ADU, electrons². */
  roundingVariance: number
  /** Whether stars were dimmed in a sub, so that its background tells nothing of the Moon. */
  dimmed: readonly boolean[]
  /** Share of their light that stars have lost, as measured; NaN where nobody measured. */
  lostShare: readonly number[]
  /** Scatter of that share from sub to sub. */
  fluxScatter: number
}

/** Noise of the background of one frame in units of one pixel's: 1.25/√n for a median of n pixels, 0.05 for 600. */
const PRIOR_UNITS: ScatterPrior = { deviation: 0.05, weight: 3 }

/** The noise is learnt from so many of the last subs of a filter. */
const NOISE_SUBS = 62

/** The sky itself flickers by so much from sub to sub. Common practice, no source. */
const FLICKER_SHARE = 0.005

/**
 * Course of the sky through the session.
 *
 * @returns one for each sub; null where no background was measured
 * @derived medians; the noise is learnt in units of one pixel's, so that it carries over to other lengths and levels
 */
export function skyCourse(question: SkyQuestion): (SkyOfSub | null)[] {
  const course: (SkyOfSub | null)[] = question.subs.map(() => null)
  const filters = skiesByFilter(question)
  const units = noiseInUnits(filters.values())
  for (const skies of filters.values()) {
    scale(skies, units)
    markPassingLights(skies, question.fluxScatter)
    markLevels(skies)
    for (const sky of skies) course[sky.at] = sky
  }
  return course
}

function skiesByFilter(question: SkyQuestion): Map<number, SkyOfSub[]> {
  const filters = new Map<number, SkyOfSub[]>()
  const darkAtSetPoint = question.darkElectronsPerSecond(null)
  question.subs.forEach((sub, at) => {
    if (sub.electronsPerSecond === null) return
    const dark = question.darkElectronsPerSecond(sub.sensorCelsius)
    const lost = valueAt(question.lostShare, at)
    const sky = skyOf(sub, { electronsPerSecond: sub.electronsPerSecond, dark, darkAtSetPoint, question })
    sky.at = at
    sky.dimmed = question.dimmed[at] === true
    if (lost > 0 || lost < 0) sky.lostShare = lost
    const skies = filters.get(sub.filter)
    if (skies === undefined) filters.set(sub.filter, [sky])
    else skies.push(sky)
  })
  return filters
}

interface Measured {
  electronsPerSecond: number
  dark: number
  darkAtSetPoint: number
  question: SkyQuestion
}

/** As far as the sub alone tells; rates stand where ratios will. */
function skyOf({ startSeconds, subSeconds }: SubRecord, measured: Measured): SkyOfSub {
  const { electronsPerSecond, dark, darkAtSetPoint, question } = measured
  const sky = electronsPerSecond - dark
  return {
    at: 0,
    seconds: startSeconds + subSeconds / 2,
    skyElectronsPerSecond: sky,
    pixelNoise: Math.sqrt(Math.max(0, electronsPerSecond) * subSeconds + question.readVariance) / subSeconds,
    deviation: Math.sqrt(question.roundingVariance / subSeconds ** 2 + (FLICKER_SHARE * sky) ** 2),
    ratio: sky,
    noise: 0,
    darkRatio: dark,
    darkDoubt: DARK_LAW_SHARE * Math.abs(dark - darkAtSetPoint),
    dimmed: false,
    lostShare: 0,
    spike: false,
    late: false,
    rise: 0,
    fall: 0,
  }
}

/** Noise of a background in units of one pixel's, from the second differences of undimmed subs. */
function noiseInUnits(filters: Iterable<readonly SkyOfSub[]>): number {
  const bends: number[] = []
  for (const skies of filters) {
    const clear = skies.filter((sky) => !sky.dimmed).slice(-NOISE_SUBS)
    clear.slice(2).forEach((sky, index) => {
      const [first = sky, second = sky] = [clear[index], clear[index + 1]]
      const unit = Math.sqrt((sky.pixelNoise ** 2 + 4 * second.pixelNoise ** 2 + first.pixelNoise ** 2) / 6)
      if (unit > 0) bends.push((sky.ratio - 2 * second.ratio + first.ratio) / unit)
    })
  }
  return scatterOfBends(bends, PRIOR_UNITS)
}

/** Electrons per second, far below any that could be measured. */
const LEAST_SCALE = 1e-9

/** Makes rates into ratios to the darkest level of the filter, or to their noise where that is more. */
function scale(skies: readonly SkyOfSub[], units: number): void {
  for (const sky of skies) sky.noise = Math.sqrt((units * sky.pixelNoise) ** 2 + sky.deviation ** 2)
  const unit = Math.max(darkestLevel(skies), 2 * medianOf(skies.map(({ noise }) => noise)), LEAST_SCALE)
  for (const sky of skies) {
    sky.deviation = Math.sqrt(sky.noise ** 2 + sky.darkDoubt ** 2)
    sky.ratio /= unit
    sky.noise /= unit
    sky.darkRatio /= unit
    sky.darkDoubt /= unit
  }
}

/** Darkest block while the stars were undimmed; of few subs their median. */
function darkestLevel(skies: readonly SkyOfSub[]): number {
  const levels = blocksOf(ratiosOf(skies.filter(({ dimmed }) => !dimmed))).map(({ level }) => level)
  return levels.length > 0 ? Math.min(...levels) : medianOf(ratiosOf(skies).values)
}
