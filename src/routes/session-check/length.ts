// The length of the next sub through a filter, at the sky as it is now.

import {
  adviseSub,
  BACKGROUND_SHARE_OF_WELL,
  chooseLength,
  fillSeconds,
  SHORTEST_SUB_SECONDS,
  type LengthChoice,
  type PixelRates,
} from '../../engine/index.ts'
import { allElectronsPerSecond } from '../../setup/exposure.ts'
import type { FilterSetup } from './filter-setup.ts'
import { areRejected, TRUSTED_SUBS, type State } from './state.ts'

export interface Advice extends Omit<LengthChoice, 'reason'> {
  currentSeconds: number
  reason: LengthChoice['reason'] | 'none-kept'
}

/** Advice for the next sub through a filter. */
export function lengthOf(setup: FilterSetup, filter: number, state: State, minimumGain: number): Advice {
  const { subs, course } = state
  const last = subs.filter.lastIndexOf(filter)
  const currentSeconds = subs.subSeconds[last] ?? setup.planSeconds
  const present = state.present[filter] ?? { skyElectronsPerSecond: 0, skyDeviation: 0, measured: 0 }
  const rates: PixelRates = {
    targetElectronsPerPixelSecond: setup.scene.plane.rates.targetElectronsPerPixelSecond * state.transparency,
    skyElectronsPerPixelSecond: present.skyElectronsPerSecond * setup.planeShare,
    darkElectronsPerPixelSecond: state.darkElectronsPerSecond,
  }
  const hasClipped = subs.isClipped[last] === 1 && course.names[last]?.has('passing-light') === false
  const clippedSeconds = hasClipped ? currentSeconds : null
  const longestSeconds = (skyFactor: number) => hardBound(setup, { rates, skyFactor, clippedSeconds })
  const choice = chooseLength({
    currentSeconds,
    candidateSeconds: candidates(setup, rates, currentSeconds, longestSeconds(1)),
    rates,
    skyDeviation: present.skyDeviation * setup.planeShare,
    readout: setup.mode.readout,
    losses: setup.losses,
    longestSeconds,
    minimumGain,
    skyTrusted: present.measured >= TRUSTED_SUBS,
  })
  // Whatever spoils one sub after another spoils longer ones no less.
  if (choice.reason === 'gain' && choice.subSeconds > currentSeconds && areRejected(subs)) {
    return { ...choice, subSeconds: currentSeconds, currentSeconds, reason: 'none-kept' }
  }
  return { ...choice, currentSeconds }
}

function candidates(
  { plan, advice, mode }: FilterSetup,
  rates: PixelRates,
  currentSeconds: number,
  bound: number | null,
): readonly number[] {
  if (plan.subLadderSeconds !== undefined) return plan.subLadderSeconds
  const longestSeconds = Math.max(SHORTEST_SUB_SECONDS, bound ?? Infinity)
  const { subSeconds } = adviseSub({
    rates,
    modes: [mode],
    losses: advice.losses,
    readNoiseTolerance: advice.readNoiseTolerance,
    ...(Number.isFinite(longestSeconds) && { longestSeconds }),
  })
  return [...new Set([currentSeconds, subSeconds])].sort((a, b) => a - b)
}

interface Brightness {
  rates: PixelRates
  skyFactor: number
  /** Length at which the background clipped; null where it did not. */
  clippedSeconds: number | null
}

/** The shortest of the bounds that nothing overrules; null where there is none. */
function hardBound(
  { scene, advice, mode }: FilterSetup,
  { rates, skyFactor, clippedSeconds }: Brightness,
): number | null {
  const planned = allElectronsPerSecond(scene.plane.rates)
  const brightest = advice.brightestBackgroundElectronsPerSecond ?? planned
  const now = allElectronsPerSecond({
    ...rates,
    skyElectronsPerPixelSecond: rates.skyElectronsPerPixelSecond * skyFactor,
  })
  const background = now * (planned > 0 ? brightest / planned : 1)
  const star = advice.starPeakElectronsPerSecond
  const well = mode.usableWellElectrons
  const bounds = [
    advice.trackedSeconds,
    advice.longestSeconds,
    clippedSeconds === null ? null : (BACKGROUND_SHARE_OF_WELL * clippedSeconds) / skyFactor,
    ...(well === null
      ? []
      : [
          fillSeconds(BACKGROUND_SHARE_OF_WELL * well, background),
          star === undefined ? null : fillSeconds(well, Math.max(0, star - brightest) + background),
        ]),
  ].filter((seconds): seconds is number => typeof seconds === 'number')
  return bounds.length === 0 ? null : Math.min(...bounds)
}
