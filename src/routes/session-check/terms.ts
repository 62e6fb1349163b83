// What a sub holds in the terms of the goal: of a pixel, of a square arcsecond, or of a star.

import {
  ceilingSnr,
  starCeilingSnr,
  starSubBudget,
  measuredYield,
  type Calibration,
  type Combine,
  type ReadMode,
  type MeasuredYield,
} from '../../engine/index.ts'
import { measureStar } from '../../setup/exposure.ts'
import { perArcsec2 } from '../../setup/goal.ts'
import type { Notes } from '../../setup/notes.ts'
import type { PlanRequest } from '../../setup/plan.ts'
import type { Scene } from '../../setup/scene.ts'
import type { Goal } from './request.ts'

export interface MeasuredSub {
  subSeconds: number
  transparency: number
  /** On the plane that the answer goes by. */
  skyElectronsPerSecond: number
  darkElectronsPerSecond: number
}

export interface Terms {
  /** What a sub holds of the target, in the terms of the goal but for `snrScale`. */
  yieldOf: (sub: MeasuredSub) => MeasuredYield
  /** Ratio in the terms of the goal over that of `yieldOf`. */
  snrScale: number
  /** What no number of subs exceeds, in the terms of the goal; null without a ceiling. */
  ceilingOf: (count: number) => number | null
}

export interface TermsInput {
  scene: Scene
  plan: PlanRequest
  planSeconds: number
  mode: ReadMode
  calibration: Calibration
  combine: Combine
  per: Goal['per']
  notes: Notes
}

/** The terms of a goal. */
export function termsOf(input: TermsInput): Terms {
  return input.per === 'star' ? starTerms(input) : pixelTerms(input)
}

function ditheredFor(count: number, calibration: Calibration): Calibration {
  return { ...calibration, ditherPositions: Math.max(1, Math.min(calibration.ditherPositions ?? 1, count)) }
}

function pixelTerms({ scene, planSeconds, mode, calibration, per }: TermsInput): Terms {
  const { rates } = scene.plane
  const scale = per === 'arcsec2' ? (perArcsec2(scene) ?? 1) : 1
  return {
    snrScale: scale,
    yieldOf: ({ subSeconds, transparency, skyElectronsPerSecond, darkElectronsPerSecond }) =>
      measuredYield({
        transparency,
        targetElectronsPerSecond: rates.targetElectronsPerPixelSecond,
        backgroundElectronsPerSecond: skyElectronsPerSecond + darkElectronsPerSecond,
        readout: mode.readout,
        subSeconds,
      }),
    ceilingOf: (count) => {
      const input = {
        rates,
        readout: mode.readout,
        subSeconds: planSeconds,
        calibration: ditheredFor(count, calibration),
      }
      const ceiling = ceilingSnr(input)
      return ceiling === null ? null : ceiling * scale
    },
  }
}

function starTerms(input: TermsInput): Terms {
  const { scene, plan, planSeconds, mode, calibration, notes } = input
  const star = measureStar({ scene, plan, subSeconds: planSeconds, mode, calibration, notes })?.input
  if (star === undefined) return pixelTerms(input)
  const { starElectronsPerSecond, rates } = star
  return {
    snrScale: 1,
    yieldOf: ({ subSeconds, transparency, skyElectronsPerSecond, darkElectronsPerSecond }) => {
      const { signalElectrons, noiseElectrons } = starSubBudget({
        ...star,
        subSeconds,
        starElectronsPerSecond: starElectronsPerSecond * transparency,
        rates: {
          targetElectronsPerPixelSecond: rates.targetElectronsPerPixelSecond * transparency,
          skyElectronsPerPixelSecond: Math.max(0, skyElectronsPerSecond),
          darkElectronsPerPixelSecond: darkElectronsPerSecond,
        },
      })
      return { signalElectrons, variance: noiseElectrons ** 2 }
    },
    ceilingOf: (count) => starCeilingSnr({ ...star, calibration: ditheredFor(count, calibration) }),
  }
}
