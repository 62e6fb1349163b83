// Whether to change the length of the subs. A change must be worth it at the sky as it is now, and so clearly that the
// noise of its measurement cannot have made it up: that keeps the advice steady. Hard bounds are kept whatever they cost.

import { informationRate, type InformationModel, type Losses } from '../exposure/losses.ts'
import type { PixelRates, Readout } from '../exposure/noise.ts'
import { readNoiseSeconds } from '../exposure/sub-bounds.ts'

export interface LengthQuestion {
  currentSeconds: number
  /** Lengths to choose from, ascending; at least one. */
  candidateSeconds: readonly number[]
  /** What arrives now. */
  rates: PixelRates
  /** Standard deviation of the sky among them. */
  skyDeviation: number
  readout: Readout
  losses: Losses
  /** Hard upper bound at a sky so many times as bright as now; null without one. */
  longestSeconds: (skyFactor: number) => number | null
  /** Gain of information per clock hour below which nothing changes, as a share, ≥ 0. */
  minimumGain: number
  /** False while too few subs were measured to trust the sky they show. */
  skyTrusted: boolean
}

export type LengthReason = 'best' | 'not-worth-it' | 'not-certain' | 'gain' | 'bound' | 'not-on-ladder' | 'none-allowed'

export interface LengthChoice {
  subSeconds: number
  reason: LengthReason
  /** What the best allowed length gains over the current one, as a share of information per clock hour. */
  gain: number
  /** The length that gains it. */
  bestSeconds: number
}

/** A change must be worth it even if the sky is so many deviations off what was measured. */
const CERTAIN_DEVIATIONS = 4

/** A longer sub must keep the hard bounds even if the sky brightens by this share: else the next sub would undo it. */
const ROOM = 0.1

/**
 * The length of the next sub.
 *
 * @returns one of the candidates; the current length if it is among them and nothing speaks clearly against it
 * @derived information per clock hour of each candidate, at the measured sky and four deviations to either side
 */
export function chooseLength(question: LengthQuestion): LengthChoice {
  const { currentSeconds, candidateSeconds, minimumGain } = question
  const rate = ratesOf(question, question.rates.skyElectronsPerPixelSecond)
  const bound = question.longestSeconds(1)
  const allowed = candidateSeconds.filter((seconds) => bound === null || seconds <= bound)
  const bestSeconds = best(allowed.length > 0 ? allowed : [Math.min(...candidateSeconds)], rate, question)
  const most = Math.max(rate(bestSeconds), ...allowed.map(rate))
  const gain = most / Math.max(rate(currentSeconds), LEAST_RATE) - 1
  const choice = (subSeconds: number, reason: LengthReason) => ({ subSeconds, reason, gain, bestSeconds })
  if (allowed.length === 0) return choice(bestSeconds, 'none-allowed')
  if (bound !== null && currentSeconds > bound) return choice(bestSeconds, 'bound')
  if (!candidateSeconds.includes(currentSeconds)) return choice(bestSeconds, 'not-on-ladder')
  if (bestSeconds === currentSeconds) return choice(currentSeconds, 'best')
  if (gain <= minimumGain) return choice(currentSeconds, 'not-worth-it')
  const certain = certainBest(question, allowed, rate)
  return certain === null ? choice(currentSeconds, 'not-certain') : choice(certain, 'gain')
}

type Rate = (subSeconds: number) => number

/** A sub that next to no sub of its length survives is not compared with less than this. */
const LEAST_RATE = 1e-12

function ratesOf({ rates, readout, losses }: LengthQuestion, skyElectronsPerPixelSecond: number): Rate {
  const model: InformationModel = {
    ...losses,
    readNoiseSeconds: readNoiseSeconds({ rates: { ...rates, skyElectronsPerPixelSecond }, readout }),
  }
  return (subSeconds) => informationRate(subSeconds, model)
}

/** The best; without interruptions longer is always better by a hair, so there the shortest that loses less than matters. */
function best(lengths: readonly number[], rate: Rate, { losses, minimumGain }: LengthQuestion): number {
  const most = Math.max(...lengths.map(rate))
  const enough = losses.interruptionsPerSecond === 0 ? most / (1 + minimumGain) : most
  return Math.min(...lengths.filter((seconds) => rate(seconds) >= enough))
}

/** The best length that is worth the change at every sky that the measurement leaves possible; null when there is none. */
function certainBest(question: LengthQuestion, allowed: readonly number[], rate: Rate): number | null {
  const { currentSeconds, rates, skyDeviation, minimumGain, skyTrusted } = question
  if (!skyTrusted) return null
  const sky = rates.skyElectronsPerPixelSecond
  const possible = [-1, 0, 1].map((side) =>
    ratesOf(question, Math.max(0, sky + side * CERTAIN_DEVIATIONS * skyDeviation)),
  )
  const roomy = question.longestSeconds(1 + ROOM)
  const worth = allowed.filter(
    (seconds) =>
      (seconds < currentSeconds || roomy === null || seconds <= roomy) &&
      possible.every((at) => at(seconds) > (1 + minimumGain) * at(currentSeconds)),
  )
  return worth.length === 0 ? null : best(worth, rate, question)
}
