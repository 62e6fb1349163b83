// How much the background of a sub is off by chance, learnt from the subs themselves.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import {
  BEND_GAIN,
  DEPARTURE_GAIN,
  departureAt,
  FEWEST_IN_PAIRS,
  MEDIAN_OF_THREE_VARIANCE,
  MOST_IN_PAIRS,
  scatterOf,
  scatterOfPairs,
  type ScatterPrior,
} from './robust.ts'
import { lastPlaces, picked, type FilterPlaces, type SkyColumns } from './sky-columns.ts'

/** Noise of the background of one frame in units of one pixel's: 1.25/√n for a median of n pixels, 0.05 for 600. */
const PRIOR_UNITS: ScatterPrior = { deviation: 0.05, weight: 3 }

/** The noise is learnt from so many of the last subs of a filter. */
const NOISE_SUBS = 62

/** So many departures, as of ten subs, tell more of the noise than bends do, of which a light that passes spoils three. */
const ENOUGH_DEPARTURES = 4

/**
 * Noise of a background in units of one pixel's, from undimmed subs: how far each departs from both sides, or of few their
 * bends. While lights may still be many among them, their pairs where those have less, which take a slope for noise instead;
 * so of few subs it comes out low rather than high.
 *
 * @param skies  rates where ratios will be
 * @param filters  places of the subs of each
 * @returns > 0
 * @derived robust scatter; in units of one pixel's it carries over to other lengths and levels
 */
export function noiseInUnits(skies: SkyColumns, filters: readonly FilterPlaces[]): number {
  const clear = filters.map((places) => lastPlaces(places, NOISE_SUBS, (at) => skies.dimmed[at] === 0))
  const departures = clear.flatMap((places) => departuresInUnits(skies, places))
  const scatter =
    departures.length >= ENOUGH_DEPARTURES
      ? scatterOf(departures, DEPARTURE_GAIN, PRIOR_UNITS)
      : scatterOf(
          clear.flatMap((places) => bendsInUnits(skies, places)),
          BEND_GAIN,
          PRIOR_UNITS,
        )
  const most = clear.reduce<FilterPlaces>((longest, places) => (places.length > longest.length ? places : longest), [])
  if (most.length < FEWEST_IN_PAIRS || most.length > MOST_IN_PAIRS) return scatter
  return Math.min(scatter, scatterOfPairs(differencesOf(skies, most), most.length, PRIOR_UNITS))
}

function departuresInUnits({ ratio, pixelNoise }: SkyColumns, places: FilterPlaces): number[] {
  const ratios = picked(ratio, places)
  const noises = picked(pixelNoise, places)
  const departures: number[] = []
  for (let index = 3; index + 3 < places.length; index++) {
    const sides = (MEDIAN_OF_THREE_VARIANCE / 4) * (noises[index - 2]! ** 2 + noises[index + 2]! ** 2)
    const unit = Math.sqrt(noises[index]! ** 2 + sides) / DEPARTURE_GAIN
    if (unit > 0) departures.push(departureAt(ratios, index) / unit)
  }
  return departures
}

function bendsInUnits({ ratio, pixelNoise }: SkyColumns, places: FilterPlaces): number[] {
  const bends: number[] = []
  for (let index = 2; index < places.length; index++) {
    const [first, second, last] = [places[index - 2]!, places[index - 1]!, places[index]!]
    const unit = Math.sqrt(pixelNoise[last]! ** 2 + 4 * pixelNoise[second]! ** 2 + pixelNoise[first]! ** 2) / BEND_GAIN
    if (unit > 0) bends.push((ratio[last]! - 2 * ratio[second]! + ratio[first]!) / unit)
  }
  return bends
}

/** Of all pairs of subs. */
function differencesOf({ ratio, pixelNoise }: SkyColumns, places: FilterPlaces): Float64Array {
  const differences: number[] = []
  for (const [index, at] of places.entries()) {
    for (const before of places.slice(0, index)) {
      const unit = Math.sqrt((pixelNoise[at]! ** 2 + pixelNoise[before]! ** 2) / 2)
      differences.push(unit > 0 ? Math.abs(ratio[at]! - ratio[before]!) / unit : Infinity)
    }
  }
  return new Float64Array(differences)
}
