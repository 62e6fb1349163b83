// How far the sky has risen above the darkest level of the session, or fallen below the brightest.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { bestLevel, BestLevels, blocksOf, type LevelModel } from './level.ts'
import { medianInPlace, medianOfThree } from './robust.ts'
import { picked, type FilterPlaces, type SkyColumns } from './sky-columns.ts'

/** A harmless sky brightens so fast and so far while the target sinks. Common practice, no source. */
const DARKEST: LevelModel = { best: 'lowest', sharePerHour: 0.05, mostShare: 0.25 }

/** A fall that is faster than this, as a share an hour, is no dusk, which ends in the dark. Common practice, no source. */
const BRIGHTEST: LevelModel = { best: 'highest', sharePerHour: 0.7, mostShare: 1 }

/** Deviations of the present sub, of the noisiest that shows a level and of the dark current’s law by which a level must have moved. */
const DEVIATIONS = { present: 4.5, others: 2, darkLaw: 2 }

/** Subs so many times as noisy as is usual, such as far shorter ones, show no level. */
const TOO_NOISY = 2

/**
 * Sets how far the present level of one filter (the median of three clear subs since stars were last dimmed) is above the
 * darkest of the session and below the brightest, each as it would stand after a harmless drift.
 *
 * @param skies  lights that passed marked
 * @param places  of the subs of the filter
 * @returns nothing; sets `rise` and `fall` beyond what noise would do, 0 where it would
 * @derived medians of three, against the best block
 */
export function markLevels(skies: SkyColumns, places: FilterPlaces): void {
  const { seconds, ratio, noise, darkDoubt, dimmed, spike } = skies
  const undisturbed = places.filter((at) => spike[at] === 0 && dimmed[at] === 0)
  const clear = withoutNoisy(undisturbed, noise)
  const blocks = blocksOf(skies.ratiosAt(clear))
  if (blocks.length === 0) return
  let others = 0
  for (const at of clear) others = Math.max(others, DEVIATIONS.others * noise[at]!)
  const lowest = new BestLevels(blocks, DARKEST)
  const highest = new BestLevels(blocks, BRIGHTEST)
  const [darkest, brightest] = [bestLevel(blocks, 'lowest'), bestLevel(blocks, 'highest')]
  let [now, last, lastButOne] = [NaN, NaN, NaN]
  for (const at of places) {
    if (dimmed[at] === 1) {
      now = last = lastButOne = NaN
    } else if (spike[at] === 0) {
      now = medianOfThree(lastButOne, last, ratio[at]!)
      lastButOne = last
      last = ratio[at]!
    }
    const doubt = Math.max(DEVIATIONS.present * noise[at]!, others, DEVIATIONS.darkLaw * darkDoubt[at]!)
    // A level drifts away from the extremes, never beyond: of most subs nobody needs to know how far. One below zero, as
    // where less arrives than the dark current is said to be, has no share to drift by.
    if (now - darkest > doubt) {
      const level = Math.max(darkest, lowest.at(seconds[at]!))
      skies.rise[at] = shareOf(now - level, level, doubt)
    }
    if (brightest - now > doubt) {
      const level = Math.min(brightest, highest.at(seconds[at]!))
      skies.fall[at] = shareOf(level - now, level, doubt)
    }
  }
}

/** What a level was left by, as a share of it; 0 within the doubt. */
function shareOf(away: number, level: number, doubt: number): number {
  return away > doubt ? away / Math.max(level, doubt) : 0
}

/** Subs that are about as noisy as is usual, or less. */
function withoutNoisy(places: FilterPlaces, noise: Float64Array): FilterPlaces {
  let [least, most] = [Infinity, 0]
  for (const at of places) {
    least = Math.min(least, noise[at]!)
    most = Math.max(most, noise[at]!)
  }
  // Where all are about alike, as nearly always, nobody needs to know which is the usual one.
  if (most <= TOO_NOISY * least) return places
  const noisiest = TOO_NOISY * medianInPlace(picked(noise, places))
  return places.filter((at) => noise[at]! <= noisiest)
}
