// How far the sky has risen above the darkest level of the session, or fallen below the brightest.

import { bestLevels, blocksOf, type LevelModel } from './level.ts'
import { medianOf, medianOfThree, valueAt } from './robust.ts'
import { ratiosOf, type SkyOfSub } from './sky-of-sub.ts'

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
 * @param skies  in order of time, lights that passed marked
 * @returns nothing; sets `rise` and `fall` beyond what noise would do, 0 where it would
 * @derived medians of three, against the best block
 */
export function markLevels(skies: readonly SkyOfSub[]): void {
  const undisturbed = skies.filter(({ spike, dimmed }) => !spike && !dimmed)
  const usual = medianOf(undisturbed.map(({ noise }) => noise))
  const clear = undisturbed.filter(({ noise }) => noise <= TOO_NOISY * usual)
  const others = clear.reduce((most, { noise }) => Math.max(most, DEVIATIONS.others * noise), 0)
  const blocks = blocksOf(ratiosOf(clear))
  if (blocks.length === 0) return
  const times = ratiosOf(skies).seconds
  const lowest = bestLevels(blocks, times, DARKEST)
  const highest = bestLevels(blocks, times, BRIGHTEST)
  let [now, last, lastButOne] = [NaN, NaN, NaN]
  skies.forEach((sky, place) => {
    if (sky.dimmed) [now, last, lastButOne] = [NaN, NaN, NaN]
    else if (!sky.spike) [now, last, lastButOne] = [medianOfThree(lastButOne, last, sky.ratio), sky.ratio, last]
    const noise = Math.max(DEVIATIONS.present * sky.noise, others, DEVIATIONS.darkLaw * sky.darkDoubt)
    markLevel(sky, { now, noise, lowest: valueAt(lowest, place), highest: valueAt(highest, place) })
  })
}

interface Levels {
  now: number
  noise: number
  lowest: number
  highest: number
}

function markLevel(sky: SkyOfSub, { now, noise, lowest, highest }: Levels): void {
  if (now - lowest > noise) sky.rise = (now - lowest) / Math.max(lowest, noise)
  if (highest - now > noise) sky.fall = (highest - now) / Math.max(highest, noise)
}
