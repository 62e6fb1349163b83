// How long a sub should be: every bound as a length, the range in which length hardly matters, and one length out of it.
// Hard bounds (clipping, tracking, the caller's own longest sub) hold whatever they cost. Drowning the read noise is a
// wish, which the loss optimum overrules when subs long enough would cost more in losses than they save in read noise.

import { EngineError, requireInRange } from '../errors.ts'
import {
  bestSubSeconds,
  cutRange,
  informationRate,
  LONGEST_SUB_SECONDS,
  SHORTEST_SUB_SECONDS,
  USEFUL_SHARE,
  usefulRange,
  type InformationModel,
  type Losses,
  type UsefulRange,
} from './losses.ts'
import type { PixelRates, Readout } from './noise.ts'
import { nearestRoundSeconds } from './round-lengths.ts'
import {
  BACKGROUND_SHARE_OF_WELL,
  fillSeconds,
  readNoiseExcess,
  readNoiseSeconds,
  swampFactor,
  swampSeconds,
  type BoundName,
  type SubBound,
} from './sub-bounds.ts'

/** One way to read the camera out. */
export interface ReadMode {
  label: string
  readout: Readout
  /** Electrons a pixel of the frame holds and still counts right; null when nobody said. */
  usableWellElectrons: number | null
}

export interface SubAdviceInput {
  rates: PixelRates
  modes: readonly ReadMode[]
  losses: Losses
  readNoiseTolerance: number
  /** Electrons per second on the fullest pixel of the brightest star to keep unclipped, sky and dark included. */
  starPeakElectronsPerSecond?: number | undefined
  /** The brightest background of all colour planes, sky and dark; where it differs from that of `rates`. */
  brightestBackgroundElectronsPerSecond?: number | undefined
  trackedSeconds?: number | undefined
  longestSeconds?: number | undefined
  /** Lengths with matching darks, at least one, 0.001 to 86400 s; advice is one of these when given. */
  ladderSeconds?: readonly number[] | undefined
}

/** Two bounds that cannot both be kept. */
export interface Collision {
  lower: BoundName
  lowerSeconds: number
  upper: BoundName
  upperSeconds: number
}

export interface ModeAdvice {
  mode: ReadMode
  subSeconds: number
  /** Loss optimum; null when longer is always better. */
  bestSeconds: number | null
  usefulRange: UsefulRange
  /** Whether a hard bound lies below every useful length; the range is then taken about that bound. */
  boundBelowUseful: boolean
  limits: SubBound[]
  limitedBy: BoundName
  swampFactor: number | null
  readNoiseExcess: number | null
  /** Information per clock hour at the advised length, over that of the best length with no hard bound. */
  informationShare: number
  /** The same at the advised length, over an ideal detector that loses nothing. */
  informationRate: number
  collisions: Collision[]
  /** False when no length of the ladder lies in the useful range. */
  withinUsefulRange: boolean
}

export interface SubAdvice extends ModeAdvice {
  /** Each mode's own advice, in the order given. */
  byMode: ModeAdvice[]
}

/**
 * Advice over all read modes: the mode that collects most information, or of those within 1 % of it the deepest well.
 *
 * @param input.modes  at least one
 * @returns the advised mode's advice, with every mode's beside it
 * @throws {EngineError} `saturates-at-once` when a hard bound leaves no time at all in any mode;
 * `no-solution` when every length of the ladder breaks a hard bound; `out-of-range` for a ladder without a usable length;
 * `not-enough-data` without a read mode
 * @derived each mode by {@link adviseMode}
 */
export function adviseSub(input: SubAdviceInput): SubAdvice {
  const byMode: ModeAdvice[] = []
  let refusal: EngineError | undefined
  for (const mode of input.modes) {
    try {
      byMode.push(adviseMode(input, mode))
    } catch (error) {
      if (!(error instanceof EngineError)) throw error
      refusal = error
    }
  }
  const best = Math.max(...byMode.map((advice) => advice.informationRate))
  const asGood = byMode.filter((advice) => advice.informationRate >= 0.99 * best)
  const [first, ...others] = asGood
  if (first === undefined) throw refusal ?? new EngineError('not-enough-data', 'There is no read mode to advise.')
  const well = (advice: ModeAdvice) => advice.mode.usableWellElectrons ?? 0
  const advised = others.reduce((a, b) => (well(b) > well(a) ? b : a), first)
  return { byMode, ...advised }
}

function adviseMode(input: SubAdviceInput, mode: ReadMode): ModeAdvice {
  const { rates, losses } = input
  const { readout } = mode
  const model: InformationModel = {
    overheadSeconds: losses.overheadSeconds,
    interruptionsPerSecond: losses.interruptionsPerSecond,
    interruptionCost: losses.interruptionCost,
    readNoiseSeconds: readNoiseSeconds({ rates, readout }),
  }
  const bestSeconds = bestSubSeconds(model)
  const limits = bounds(input, mode, bestSeconds)
  const ceiling = tightest(limits)
  if (ceiling !== null && ceiling.seconds < SHORTEST_SUB_SECONDS) {
    throw new EngineError(
      'saturates-at-once',
      `The bound “${ceiling.name}” allows ${ceiling.seconds.toPrecision(2)} s at most, less than the shortest sub there is, ${SHORTEST_SUB_SECONDS} s.`,
      { field: ceiling.name },
    )
  }
  const unbounded = usefulRange(model, bestSeconds)
  const wantedSeconds = wanted(bestSeconds, unbounded)
  const range = cutRange(unbounded, ceiling?.seconds ?? null, model)
  const subSeconds =
    input.ladderSeconds === undefined
      ? roundIn(range, wantedSeconds)
      : pickFromLadder(input.ladderSeconds, model, ceiling)
  const peak = bestSeconds === null ? 1 : informationRate(bestSeconds, model)
  const rate = informationRate(subSeconds, model)
  return {
    mode,
    subSeconds,
    bestSeconds,
    usefulRange: range,
    boundBelowUseful: ceiling !== null && ceiling.seconds < unbounded.fromSeconds,
    limits,
    limitedBy: limitedBy({ model, ceiling, bestSeconds, wantedSeconds }),
    swampFactor: swampFactor({ rates, readout, subSeconds }),
    readNoiseExcess: readNoiseExcess({ rates, readout, subSeconds }),
    informationShare: rate / peak,
    informationRate: rate,
    collisions: collisions(limits, unbounded.fromSeconds, bestSeconds),
    withinUsefulRange: subSeconds >= range.fromSeconds && (range.toSeconds === null || subSeconds <= range.toSeconds),
  }
}

function bounds(input: SubAdviceInput, mode: ReadMode, bestSeconds: number | null): SubBound[] {
  const { rates, readNoiseTolerance, starPeakElectronsPerSecond } = input
  const well = mode.usableWellElectrons
  const background =
    input.brightestBackgroundElectronsPerSecond ?? rates.skyElectronsPerPixelSecond + rates.darkElectronsPerPixelSecond
  const candidates: (Omit<SubBound, 'seconds'> & { seconds: number | null | undefined })[] = [
    {
      name: 'read-noise',
      kind: 'lower',
      hard: false,
      seconds: swampSeconds({ rates, readout: mode.readout, readNoiseTolerance }),
    },
    { name: 'losses', kind: 'upper', hard: false, seconds: bestSeconds },
    {
      name: 'sky-background',
      kind: 'upper',
      hard: true,
      seconds: well === null ? null : fillSeconds(BACKGROUND_SHARE_OF_WELL * well, background),
    },
    {
      name: 'star-clipping',
      kind: 'upper',
      hard: true,
      seconds: well === null ? null : fillSeconds(well, starPeakElectronsPerSecond ?? 0),
    },
    { name: 'tracking', kind: 'upper', hard: true, seconds: input.trackedSeconds },
    { name: 'longest-sub', kind: 'upper', hard: true, seconds: input.longestSeconds },
  ]
  return candidates.filter((bound): bound is SubBound => Number.isFinite(bound.seconds))
}

function tightest(limits: readonly SubBound[]): SubBound | null {
  const hard = limits.filter((bound) => bound.hard)
  return hard.length === 0 ? null : hard.reduce((a, b) => (b.seconds < a.seconds ? b : a))
}

/** The length to aim for were there no hard bound. */
function wanted(bestSeconds: number | null, unbounded: UsefulRange): number {
  const seconds = bestSeconds ?? unbounded.fromSeconds
  // With neither overhead nor read noise the best length is no length; a second loses nothing and saves files.
  return seconds > SHORTEST_SUB_SECONDS ? seconds : Math.min(1, unbounded.toSeconds ?? 1)
}

function limitedBy(input: {
  model: InformationModel
  ceiling: SubBound | null
  bestSeconds: number | null
  wantedSeconds: number
}): BoundName {
  const { model, ceiling, bestSeconds, wantedSeconds } = input
  if (ceiling !== null && ceiling.seconds < wantedSeconds) return ceiling.name
  // Without interruptions only dead time and read noise ask for length, whichever is larger.
  return bestSeconds === null && model.readNoiseSeconds > model.overheadSeconds ? 'read-noise' : 'losses'
}

/** @param worthwhileSeconds  shorter subs lose more than 5 % of the information per clock hour */
function collisions(limits: readonly SubBound[], worthwhileSeconds: number, bestSeconds: number | null): Collision[] {
  const found: Collision[] = []
  // A read-noise wish that the loss optimum overrules collides with nothing but that optimum, unless a bound is costly.
  const wish = limits.find(({ name }) => name === 'read-noise')?.seconds ?? 0
  const overruled = bestSeconds !== null && wish > bestSeconds
  for (const { name: upper, seconds: upperSeconds, hard } of limits) {
    if (!hard) continue
    const costly = upperSeconds < worthwhileSeconds
    if (wish > upperSeconds && (costly || !overruled)) {
      found.push({ lower: 'read-noise', lowerSeconds: wish, upper, upperSeconds })
    } else if (costly) {
      found.push({ lower: 'losses', lowerSeconds: worthwhileSeconds, upper, upperSeconds })
    }
  }
  return found
}

function roundIn({ fromSeconds, toSeconds }: UsefulRange, wantedSeconds: number): number {
  const aim = Math.min(wantedSeconds, toSeconds ?? Infinity)
  return nearestRoundSeconds(aim, { from: fromSeconds, to: toSeconds }) ?? aim
}

function pickFromLadder(ladderSeconds: readonly number[], model: InformationModel, ceiling: SubBound | null): number {
  const shortest = Math.min(...ladderSeconds)
  requireInRange('ladderSeconds', shortest, SHORTEST_SUB_SECONDS, LONGEST_SUB_SECONDS)
  if (ceiling !== null && ceiling.seconds < shortest) {
    throw new EngineError('no-solution', `Every length of the ladder lies above the bound “${ceiling.name}”.`, {
      field: 'ladderSeconds',
      given: shortest,
      allowed: `at most ${ceiling.seconds} s`,
    })
  }
  const allowed = ladderSeconds
    .filter((seconds) => ceiling === null || seconds <= ceiling.seconds)
    .sort((a, b) => a - b)
  // Without interruptions a longer sub always collects more, if only by a hair: the shortest one that is within the useful
  // share of the best stands for all of them.
  const rate = (seconds: number) => informationRate(seconds, model)
  if (model.interruptionsPerSecond === 0) {
    const enough = allowed.find((seconds) => rate(seconds) >= USEFUL_SHARE)
    if (enough !== undefined) return enough
  }
  return allowed.reduce((best, seconds) => (rate(seconds) > rate(best) ? seconds : best), shortest)
}
