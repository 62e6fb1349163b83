// The advice in sentences a club member understands.

import {
  BACKGROUND_SHARE_OF_WELL,
  bestSubSeconds,
  informationRate,
  readNoiseSeconds,
  USEFUL_SHARE,
  type BoundName,
  type Collision,
  type InformationModel,
  type PixelRates,
  type SubAdvice,
  type SubBound,
} from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { explainPlane } from '../../setup/plane-words.ts'
import { TYPICAL_CAMERAS } from '../../setup/typical.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import type { Solution } from './solve.ts'

const BOUND_WORDS: Record<BoundName, string> = {
  'read-noise': 'drowning the read noise',
  losses: 'dead time and spoiled subs',
  'sky-background': 'the background filling the well',
  'star-clipping': 'the star that must not clip',
  tracking: 'the mount',
  'longest-sub': 'your own longest sub',
}

/** What one bound means. */
export function explainLimit({ name, seconds }: SubBound, readNoiseTolerance: number): string {
  const length = spokenSeconds(seconds)
  switch (name) {
    case 'read-noise':
      return `From ${length} on, read noise adds no more than ${spokenShare(readNoiseTolerance)} to the noise of sky and dark current.`
    case 'losses':
      return `At ${length} an hour on the clock yields most: shorter subs pay more dead time and read noise, longer ones lose more when one is spoiled.`
    case 'sky-background':
      return `At ${length} the background fills ${spokenShare(BACKGROUND_SHARE_OF_WELL)} of what a pixel holds; the rest is kept for the stars.`
    case 'star-clipping':
      return `At ${length} the brightest star that must not clip fills its pixel.`
    case 'tracking':
      return `Longer than ${length} the mount does not keep the stars round.`
    case 'longest-sub':
      return `You asked for no sub longer than ${length}.`
  }
}

/** Why two bounds cannot both be kept, and what gives way. */
export function explainCollision(collision: Collision, advice: SubAdvice): string {
  const { lower, lowerSeconds, upper, upperSeconds } = collision
  const wish =
    lower === 'read-noise'
      ? `drowning the read noise asks for ${spokenSeconds(lowerSeconds)}`
      : `dead time and read noise ask for at least ${spokenSeconds(lowerSeconds)}`
  return `${capital(wish)}, but ${BOUND_WORDS[upper]} allows ${spokenSeconds(upperSeconds)}: the shorter one stands. All told that leaves ${spokenShare(advice.informationShare)} of the information an hour could bring. ${REMEDIES[upper]}`
}

const REMEDIES: Partial<Record<BoundName, string>> = {
  'sky-background': 'A read mode with a deeper well, a narrower filter or a darker sky would make room.',
  'star-clipping':
    'Let the star clip and take a few short subs for it, use a read mode with a deeper well, or bin less.',
  tracking:
    'A mount that follows the sky better or a shorter focal length would make room; so would a read mode with less read noise.',
  'longest-sub': 'A read mode with less read noise would lower the bound.',
}

/** Writes the explanation of the advice into the notes. */
export function explainAdvice(solution: Solution, notes: Notes): void {
  const { advice, losses, scene } = solution
  notes.explain(headline(solution))
  notes.explain(spokenRange(advice))
  explainReadNoise(solution, notes)
  if (!advice.withinUsefulRange) {
    notes.explain(
      `None of your lengths lies in that range; ${spokenSeconds(advice.subSeconds)} collects most of those that are allowed, ${spokenShare(advice.informationShare)} of the best.`,
    )
  }
  for (const collision of advice.collisions) notes.explain(explainCollision(collision, advice))
  if (advice.byMode.length > 1) {
    notes.explain(
      `Of ${advice.byMode.length} read modes “${advice.mode.label}” collects most in an hour, or as much with more room for bright stars.`,
    )
  }
  explainDark(scene.plane.rates, notes)
  if (losses.interruptionsPerSecond > 0) {
    const lost = -Math.expm1(-losses.interruptionsPerSecond * advice.subSeconds)
    notes.explain(`About ${spokenShare(lost)} of the subs will be spoiled by an interruption.`)
  }
  explainWhatToMeasure(solution, notes)
}

function headline({ advice }: Solution): string {
  const length = spokenSeconds(advice.subSeconds)
  switch (advice.limitedBy) {
    case 'losses':
      return advice.withinUsefulRange
        ? `Expose ${length} per sub: there an hour on the clock yields about the most.`
        : `Expose ${length} per sub: of your lengths it yields most in an hour.`
    case 'read-noise':
      return `Expose ${length} per sub: long enough that read noise hardly matters.`
    case 'sky-background':
    case 'star-clipping':
    case 'tracking':
    case 'longest-sub':
      return `Expose ${length} per sub: ${BOUND_WORDS[advice.limitedBy]} allows no more.`
  }
}

function spokenRange({ usefulRange: { fromSeconds, toSeconds }, boundBelowUseful }: SubAdvice): string {
  if (toSeconds === null) {
    return `Nothing argues against longer subs; from ${spokenSeconds(fromSeconds)} on any length is as good, so the shortest round one risks least.`
  }
  const best = boundBelowUseful ? 'the best that is allowed' : 'the best'
  const [from, to] = [spokenSeconds(fromSeconds), spokenSeconds(toSeconds)]
  return from === to
    ? `Only about ${to} is within 5 % of ${best}.`
    : `Anything from ${from} to ${to} is within 5 % of ${best}.`
}

function explainReadNoise({ advice, readNoiseTolerance }: Solution, notes: Notes): void {
  const swamp = advice.limits.find(({ name }) => name === 'read-noise')
  if (swamp === undefined || advice.readNoiseExcess === null) {
    notes.explain(
      'With neither sky nor dark current there is nothing to drown the read noise in; only losses bound the sub.',
    )
    return
  }
  const excess = spokenShare(advice.readNoiseExcess)
  if (advice.subSeconds >= swamp.seconds) {
    notes.explain(`Read noise then adds ${excess} to the noise of the background.`)
  } else if (advice.limitedBy === 'losses' && advice.bestSeconds !== null && swamp.seconds > advice.bestSeconds) {
    notes.explain(
      `Keeping read noise to ${spokenShare(readNoiseTolerance)} would take subs of ${spokenSeconds(swamp.seconds)}; they would cost more in spoiled subs than they save in read noise, so the loss optimum decides and read noise adds ${excess}.`,
    )
  } else {
    notes.explain(
      `Read noise then adds ${excess} to the noise of the background, more than the ${spokenShare(readNoiseTolerance)} wished for.`,
    )
  }
}

function explainDark({ darkElectronsPerPixelSecond: dark, skyElectronsPerPixelSecond: sky }: PixelRates, notes: Notes) {
  if (dark > 0.2 * sky) {
    notes.explain(
      `Dark current is ${besideSky(dark, sky)}: it hides read noise, but it is noise of its own, which cooling would remove.`,
    )
  }
}

function besideSky(dark: number, sky: number): string {
  if (sky === 0) return 'all of the background'
  return dark < sky ? `${spokenShare(dark / sky)} of the sky` : `${short(dark / sky)} times the sky`
}

/** Names the assumed numbers on whose true value the advice hangs: elsewhere in their usual range it would be a bad one. */
function explainWhatToMeasure(solution: Solution, notes: Notes): void {
  const { advice, losses, scene, cameraClass } = solution
  if (advice.bestSeconds === null || advice.limitedBy !== 'losses' || !advice.withinUsefulRange) return
  const { rates } = scene.plane
  const { readout } = advice.mode
  const assumed = (pointer: string) => notes.assumptions.some((assumption) => assumption.pointer === pointer)
  const consider = (what: string, models: InformationModel[]) => {
    const wrong = models
      .map((model) => ({ best: bestSubSeconds(model), model }))
      .filter(({ best, model }) => {
        const rate = informationRate(advice.subSeconds, model)
        return best !== null && rate < USEFUL_SHARE * informationRate(best, model)
      })
    const lengths = wrong.map(({ best }) => spokenSeconds(best ?? 0))
    if (lengths.length > 0) {
      notes.explain(
        `Measure ${what}, which was assumed: elsewhere in its usual range the best length would be ${lengths.join(' or ')}.`,
      )
    }
  }
  const tau = readNoiseSeconds({ rates, readout })
  if (cameraClass !== undefined && assumed('/camera/readNoiseElectrons')) {
    const { low, high } = TYPICAL_CAMERAS[cameraClass].readNoiseElectrons
    const withRead = (read: number) => ({
      ...losses,
      readNoiseSeconds: readNoiseSeconds({ rates, readout: { ...readout, readNoiseElectrons: read } }),
    })
    consider('your read noise', [withRead(low), withRead(high)])
  }
  if (assumed('/sky/magPerArcsec2')) {
    const withSky = (factor: number) => {
      const skyElectronsPerPixelSecond = rates.skyElectronsPerPixelSecond * factor
      return {
        ...losses,
        readNoiseSeconds: readNoiseSeconds({ rates: { ...rates, skyElectronsPerPixelSecond }, readout }),
      }
    }
    consider('your sky', SKY_FACTORS.map(withSky))
  }
  if (assumed('/plan/overheadSeconds')) {
    const withOverhead = (overheadSeconds: number) => ({ ...losses, overheadSeconds, readNoiseSeconds: tau })
    consider('the dead time between your subs', OVERHEADS_SECONDS.map(withOverhead))
  }
  if (assumed('/plan/interruptionsPerHour')) {
    const withRate = (perHour: number) => ({ ...losses, interruptionsPerSecond: perHour / 3600, readNoiseSeconds: tau })
    consider('how often something spoils a sub', INTERRUPTIONS_PER_HOUR.map(withRate))
  }
}

/** Usual ranges of what a request often leaves open. Common practice, no source. */
const SKY_FACTORS = [0.6, 1.7]
const OVERHEADS_SECONDS = [2, 20]
const INTERRUPTIONS_PER_HOUR = [0.3, 4]

function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1)
}

/** How many subs, and what they yield. */
export function explainYield(solution: Solution, notes: Notes): void {
  const { subCount, expected, clockSeconds, scene } = solution
  if (subCount === 0) {
    notes.explain('The time there is does not hold one such sub.')
    return
  }
  notes.explain(`${subCount} such subs are kept out of ${spokenSeconds(clockSeconds)} on the clock.`)
  if (expected.snrPerArcsec2 !== null) {
    notes.explain(
      `The target then has a signal-to-noise ratio of ${short(expected.snrPerArcsec2)} on a square arcsecond.`,
    )
  } else if (expected.snrPerPixel !== null) {
    notes.explain(`The target then has a signal-to-noise ratio of ${short(expected.snrPerPixel)} on a pixel.`)
  }
  if (expected.snrStar !== null) notes.explain(`The star is measured to one part in ${short(expected.snrStar)}.`)
  if (solution.noTarget) notes.explain('Give a target to learn what signal-to-noise ratio the night yields.')
  explainPlane(scene, notes)
}
