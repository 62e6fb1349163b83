// What an hour on the clock is worth, as a function of the length of a sub. A sub costs its exposure and an overhead; an
// interruption (cloud, stray light, a guiding error) spoils the sub in hand; read noise takes a share of each sub. The
// same argument sets checkpoint intervals in computing: Young 1974, Comm. ACM 17, 530; Daly 2006, Future Gener. Comput.
// Syst. 22, 303. Rates are per second, lengths in seconds.

import { findRoot } from '../root.ts'

/** When a spoiled sub is noticed: at the end of it (or the next morning), or at once, whereupon it is restarted. */
export type InterruptionCost = 'found-afterwards' | 'aborted-at-once'

export interface Losses {
  /** Dead time after each sub (download, settling, focus checks spread out), ≥ 0. */
  overheadSeconds: number
  /** Interruptions per second, Poisson, ≥ 0. */
  interruptionsPerSecond: number
  interruptionCost: InterruptionCost
}

export interface InformationModel extends Losses {
  /** Read-noise variance over the rate of all electrons, R²/(O + S + D): it acts as so many seconds of dead time, ≥ 0. */
  readNoiseSeconds: number
}

/** No sub is shorter than this: a mechanical shutter's own time, common practice, no source. */
export const SHORTEST_SUB_SECONDS = 0.001

/** No sub is longer than this: a whole day. */
export const LONGEST_SUB_SECONDS = 86400

/** (eˣ − 1)/x, which keeps its digits however rare interruptions are. */
function exponentialGrowth(x: number): number {
  return x === 0 ? 1 : Math.expm1(x) / x
}

/**
 * Clock time that one kept sub costs on average.
 *
 *     found afterwards: (t + o) e^{λt};   aborted at once: (e^{λt} − 1)/λ + o
 *
 * @param subSeconds  t > 0
 * @returns seconds, ≥ t
 * @source Daly 2006, with the overhead paid after a success; found-afterwards form derived: e^{−λt} of the subs survive
 */
export function clockSecondsPerKeptSub(subSeconds: number, losses: Losses): number {
  const { overheadSeconds, interruptionsPerSecond: rate, interruptionCost } = losses
  switch (interruptionCost) {
    case 'found-afterwards':
      return (subSeconds + overheadSeconds) * Math.exp(rate * subSeconds)
    case 'aborted-at-once':
      return subSeconds * exponentialGrowth(rate * subSeconds) + overheadSeconds
  }
}

/**
 * Information (SNR²) collected per clock second, relative to an ideal detector that loses nothing.
 *
 *     E(t) = t / clock(t) · 1/(1 + τ/t)
 *
 * @param subSeconds  t > 0
 * @returns 0 to 1
 * @derived SNR² of a sub is proportional to t²/(t + τ); divided by the clock time it costs
 */
export function informationRate(subSeconds: number, model: InformationModel): number {
  return subSeconds ** 2 / ((subSeconds + model.readNoiseSeconds) * clockSecondsPerKeptSub(subSeconds, model))
}

/** d ln E/d ln t, whose sign tells on which side of the optimum a length lies. */
function logarithmicSlope(subSeconds: number, model: InformationModel): number {
  const { overheadSeconds, readNoiseSeconds } = model
  const interruptions = model.interruptionsPerSecond * subSeconds
  const readGain = readNoiseSeconds / (subSeconds + readNoiseSeconds)
  switch (model.interruptionCost) {
    case 'found-afterwards':
      return readGain + overheadSeconds / (subSeconds + overheadSeconds) - interruptions
    case 'aborted-at-once':
      // Divided through by e^{λt}, which overflows long before its logarithm does.
      return (
        readGain +
        1 -
        subSeconds / (subSeconds * exponentialGrowth(-interruptions) + overheadSeconds * Math.exp(-interruptions))
      )
  }
}

/**
 * The length that collects most information per clock hour.
 *
 * Without read noise it is −o/2 + √(o²/4 + o/λ) when found afterwards, (1 + W₀((λo − 1)/e))/λ when aborted at once.
 *
 * @returns seconds; null when longer is always better (no interruptions)
 * @source Young 1974 and Daly 2006 for the limits; with read noise derived, the root of d ln E/d ln t
 */
export function bestSubSeconds(model: InformationModel): number | null {
  if (model.interruptionsPerSecond === 0) return null
  const slope = (subSeconds: number) => logarithmicSlope(subSeconds, model)
  if (slope(SHORTEST_SUB_SECONDS) <= 0) return SHORTEST_SUB_SECONDS
  if (slope(LONGEST_SUB_SECONDS) >= 0) return LONGEST_SUB_SECONDS
  return findRoot(slope, SHORTEST_SUB_SECONDS, LONGEST_SUB_SECONDS)
}

/** Share of the best information rate that counts as no worse than the best. */
export const USEFUL_SHARE = 0.95

export interface UsefulRange {
  fromSeconds: number
  /** null when nothing argues against longer subs. */
  toSeconds: number | null
}

/**
 * Every length whose information per clock hour is within 5 % of the best, whatever else bounds a sub.
 *
 * @param bestSeconds  the optimum, from {@link bestSubSeconds}
 * @returns a range that is never empty
 * @derived E rises to its maximum and falls after it, so each side is one root
 */
export function usefulRange(model: InformationModel, bestSeconds: number | null): UsefulRange {
  const level = USEFUL_SHARE * (bestSeconds === null ? 1 : informationRate(bestSeconds, model))
  return {
    fromSeconds: lowerEdge(model, bestSeconds ?? LONGEST_SUB_SECONDS, level),
    toSeconds: bestSeconds === null ? null : upperEdge(model, bestSeconds, level),
  }
}

/**
 * A useful range cut by a hard upper bound. Where the bound lies below the whole range, the best that is allowed is the
 * bound itself, and the range is taken about it.
 *
 * @param range  from {@link usefulRange}
 * @param longestSeconds  the hard upper bound, > 0; null when there is none
 * @returns a range that is never empty
 * @derived below its optimum E only rises, so the bound is the best length allowed
 */
export function cutRange(range: UsefulRange, longestSeconds: number | null, model: InformationModel): UsefulRange {
  if (longestSeconds === null) return range
  const { fromSeconds, toSeconds } = range
  if (longestSeconds >= fromSeconds) {
    return { fromSeconds, toSeconds: toSeconds === null ? longestSeconds : Math.min(toSeconds, longestSeconds) }
  }
  const level = USEFUL_SHARE * informationRate(longestSeconds, model)
  return { fromSeconds: lowerEdge(model, longestSeconds, level), toSeconds: longestSeconds }
}

function lowerEdge(model: InformationModel, best: number, level: number): number {
  const above = (subSeconds: number) => informationRate(subSeconds, model) - level
  if (above(SHORTEST_SUB_SECONDS) >= 0) return Math.min(SHORTEST_SUB_SECONDS, best)
  // With hours of read noise and nothing lost the level is reached only past the longest sub.
  if (above(best) <= 0) return best
  return findRoot(above, SHORTEST_SUB_SECONDS, best)
}

function upperEdge(model: InformationModel, best: number, level: number): number {
  const above = (subSeconds: number) => informationRate(subSeconds, model) - level
  if (above(LONGEST_SUB_SECONDS) >= 0) return LONGEST_SUB_SECONDS
  return findRoot(above, best, LONGEST_SUB_SECONDS)
}
