// The sky behind each sub: its rate with the dark current taken off, and that against the darkest level of its filter. Each
// filter has a course of its own, so that filters and lengths may alternate.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { bestLevel, blocksOf } from './level.ts'
import { markPassingLights } from './passing-lights.ts'
import { medianInPlace, valueAt } from './robust.ts'
import type { Column } from './series.ts'
import { markLevels } from './sky-levels.ts'
import { noiseInUnits } from './sky-noise.ts'
import type { SessionSubs } from './session-subs.ts'
import { DARK_LAW_SHARE, picked, SkyColumns, type FilterPlaces } from './sky-columns.ts'

export interface SkyQuestion {
  subs: SessionSubs
  /** Dark current in each sub, and at the set-point. */
  darkElectronsPerSecond: Float64Array
  setPointElectronsPerSecond: number
  /** Of one read of a pixel of the frame, electrons². */
  readVariance: number
  /** Of the rounding of the background to whole ADU, electrons². */
  roundingVariance: number
  /** 1 where stars were dimmed in a sub, so that its background tells nothing of the Moon. */
  dimmed: Uint8Array
  /** Share of their light that stars have lost, as measured; NaN where nobody measured. */
  lostShare: Column
  /** Scatter of that share from sub to sub. */
  fluxScatter: number
}

/** The sky itself flickers by so much from sub to sub. Common practice, no source. */
const FLICKER_SHARE = 0.005

/**
 * Course of the sky through the session.
 *
 * @returns a number for each sub, the ratio and what follows from it too
 * @derived medians; the noise is learnt in units of one pixel's, so that it carries over to other lengths and levels
 */
export function skyCourse(question: SkyQuestion): SkyColumns {
  const filters = placesByFilter(question.subs)
  const skies = skiesOf(question)
  const units = noiseInUnits(skies, filters)
  for (const places of filters) {
    scale(skies, places, units)
    markPassingLights(skies, places, question.fluxScatter)
    markLevels(skies, places)
  }
  return skies
}

function placesByFilter({ filter, electronsPerSecond }: SessionSubs): FilterPlaces[] {
  const places = new Map<number, number[]>()
  let mine: number[] = []
  for (let at = 0; at < filter.length; at++) {
    if (Number.isNaN(electronsPerSecond[at])) continue
    // Nearly always of the same filter as the one before.
    if (filter[at] !== filter[mine.at(-1) ?? -1]) {
      mine = places.get(filter[at]!) ?? []
      places.set(filter[at]!, mine)
    }
    mine.push(at)
  }
  return [...places.values()]
}

/** As far as each sub alone tells; rates stand where ratios will. */
function skiesOf(question: SkyQuestion): SkyColumns {
  const { subs, darkElectronsPerSecond, setPointElectronsPerSecond, readVariance, roundingVariance } = question
  const { length } = subs.startSeconds
  const skies = new SkyColumns(length, question.dimmed)
  for (let at = 0; at < length; at++) {
    const electronsPerSecond = subs.electronsPerSecond[at]!
    if (Number.isNaN(electronsPerSecond)) continue
    const subSeconds = subs.subSeconds[at]!
    const dark = darkElectronsPerSecond[at]!
    const sky = electronsPerSecond - dark
    const lost = valueAt(question.lostShare, at)
    skies.seconds[at] = subs.startSeconds[at]! + subSeconds / 2
    skies.skyElectronsPerSecond[at] = sky
    skies.pixelNoise[at] = Math.sqrt(Math.max(0, electronsPerSecond) * subSeconds + readVariance) / subSeconds
    skies.deviation[at] = Math.sqrt(roundingVariance / subSeconds ** 2 + (FLICKER_SHARE * sky) ** 2)
    skies.ratio[at] = sky
    skies.darkRatio[at] = dark
    skies.darkDoubt[at] = DARK_LAW_SHARE * Math.abs(dark - setPointElectronsPerSecond)
    skies.lostShare[at] = Number.isNaN(lost) ? 0 : lost
  }
  return skies
}

/** Electrons per second, far below any that could be measured. */
const LEAST_SCALE = 1e-9

/** Makes rates of one filter into ratios to its darkest level, or to their noise where that is more. */
function scale(skies: SkyColumns, places: FilterPlaces, units: number): void {
  const { ratio, noise, deviation, pixelNoise, darkRatio, darkDoubt } = skies
  let most = 0
  for (const at of places) {
    noise[at] = Math.sqrt((units * pixelNoise[at]!) ** 2 + deviation[at]! ** 2)
    most = Math.max(most, noise[at])
  }
  const darkest = darkestLevel(skies, places)
  // Nearly always even the noisiest sub is far below the sky: then nobody needs to know which is the usual one.
  const usual = 2 * most <= darkest ? most : medianInPlace(picked(noise, places))
  const unit = Math.max(darkest, 2 * usual, LEAST_SCALE)
  for (const at of places) {
    deviation[at] = Math.sqrt(noise[at]! ** 2 + darkDoubt[at]! ** 2)
    ratio[at]! /= unit
    noise[at]! /= unit
    darkRatio[at]! /= unit
    darkDoubt[at]! /= unit
  }
}

/** Darkest block while the stars were undimmed; of few subs their median. */
function darkestLevel(skies: SkyColumns, places: FilterPlaces): number {
  const blocks = blocksOf(skies.ratiosAt(places.filter((at) => skies.dimmed[at] === 0)))
  return blocks.length > 0 ? bestLevel(blocks, 'lowest') : medianInPlace(picked(skies.ratio, places))
}
