// What the questions about subs and stacks share: the advice for a scene, the length a plan goes by, and a star's aperture.

import {
  adviseSub,
  bestApertureRadiusPx,
  capturedFraction,
  clockSecondsPerKeptSub,
  EngineError,
  peakPixelFraction,
  capturedSquaredShares,
  type Losses,
  type PixelRates,
  type ReadMode,
  type StarImage,
  type StarInput,
  type SubAdvice,
  type SubAdviceInput,
} from '../engine/index.ts'
import type { Notes } from './notes.ts'
import { resolveStarShape, resolveTracking, type PlanRequest } from './plan.ts'
import type { Plane, Scene } from './scene.ts'
import { short, spokenSeconds } from './words.ts'

/** Electrons per second that an evenly lit pixel of a plane gathers. */
export function allElectronsPerSecond(rates: PixelRates): number {
  return rates.targetElectronsPerPixelSecond + rates.skyElectronsPerPixelSecond + rates.darkElectronsPerPixelSecond
}

/**
 * Clock time of one kept sub.
 *
 * @throws {EngineError} `no-solution` when hardly any sub of that length survives
 */
export function clockPerKeptSub(subSeconds: number, losses: Losses): number {
  if (survives(subSeconds, losses)) return clockSecondsPerKeptSub(subSeconds, losses)
  throw new EngineError('no-solution', `With so many interruptions hardly any sub of ${subSeconds} s survives.`, {
    field: 'interruptionsPerSecond',
    given: losses.interruptionsPerSecond,
  })
}

/** Whether subs of a length are kept often enough to speak of. */
export function survives(subSeconds: number, losses: Losses): boolean {
  return clockSecondsPerKeptSub(subSeconds, losses) < 1e9
}

/** What the engine is asked for the length of a sub. */
export function adviceInput(scene: Scene, plan: PlanRequest, losses: Losses, notes: Notes): SubAdviceInput {
  const starPeak = starPeakElectronsPerSecond(scene, plan, notes)
  const trackedSeconds = resolveTracking(plan, scene, notes)
  return {
    rates: scene.plane.rates,
    modes: scene.camera.modes,
    losses,
    readNoiseTolerance:
      plan.readNoiseTolerance ?? notes.assume('/plan/readNoiseTolerance', 0.05, 'not given: read noise may add 5 %'),
    brightestBackgroundElectronsPerSecond: Math.max(...scene.planes.map(({ rates }) => allElectronsPerSecond(rates))),
    starPeakElectronsPerSecond: starPeak ?? undefined,
    trackedSeconds,
    longestSeconds: plan.longestSubSeconds,
    ladderSeconds: plan.subLadderSeconds,
  }
}

/** The fullest pixel of the brightest star that must not clip, over all planes; null without such a star. */
function starPeakElectronsPerSecond(scene: Scene, plan: PlanRequest, notes: Notes): number | null {
  const brightest = (plane: Plane) =>
    Math.max(plane.unclippedStarElectronsPerSecond ?? 0, plane.starElectronsPerSecond ?? 0)
  if (scene.pixelScaleArcsec === null || scene.planes.every((plane) => brightest(plane) === 0)) return null
  const fraction = wellFillingShare(scene, resolveStarShape(plan, scene.pixelScaleArcsec, notes))
  return Math.max(...scene.planes.map((plane) => brightest(plane) * fraction + allElectronsPerSecond(plane.rates)))
}

/**
 * Share of a star's electrons that counts against the well of a pixel of the frame. Numbers that are summed after the
 * readout clip where one physical pixel does, so there its share counts for every pixel of the sum.
 */
function wellFillingShare({ camera }: Scene, { profile, fwhmPx }: StarImage): number {
  const { binning, binningKind } = camera
  if (binning === 1 || binningKind === 'on-chip') return peakPixelFraction({ profile, fwhmPx })
  return peakPixelFraction({ profile, fwhmPx: fwhmPx * binning }) * binning ** 2
}

/**
 * Where the background alone overflows, a signal-to-noise ratio would be a number without a meaning.
 *
 * @throws {EngineError} `saturates-at-once`
 */
export function refuseFullWell(rates: PixelRates, { usableWellElectrons }: ReadMode, subSeconds: number): void {
  const electrons = allElectronsPerSecond(rates) * subSeconds
  if (usableWellElectrons === null || electrons <= usableWellElectrons) return
  const longest = usableWellElectrons / allElectronsPerSecond(rates)
  throw new EngineError(
    'saturates-at-once',
    `In ${spokenSeconds(subSeconds)} sky, target and dark current put ${Math.round(electrons)} electrons on a pixel that holds ${Math.round(usableWellElectrons)}.`,
    { field: 'subSeconds', given: subSeconds, allowed: `at most ${short(longest)} s` },
  )
}

/** Says where a length that was given is longer than the rest of the plan allows. */
export function cautionLength(plan: PlanRequest, notes: Notes): void {
  const { subSeconds = 0, longestTrackedSeconds = Infinity, longestSubSeconds = Infinity } = plan
  if (subSeconds > longestTrackedSeconds) {
    notes.caution(
      `Subs of ${spokenSeconds(subSeconds)} are longer than the ${spokenSeconds(longestTrackedSeconds)} that the mount tracks: stars will trail.`,
    )
  }
  if (subSeconds > longestSubSeconds) {
    notes.caution(
      `Subs of ${spokenSeconds(subSeconds)} are longer than your own limit of ${spokenSeconds(longestSubSeconds)}.`,
    )
  }
}

/** Says where a star overflows its pixel. */
export function cautionStar(star: StarMeasurement | null, notes: Notes): void {
  if (star?.clips !== true) return
  notes.caution(
    `The star overflows its pixel (${Math.round(star.peakElectrons)} electrons): its brightness cannot be measured in such subs.`,
  )
}

/** Length and read mode that a plan goes by: its own, or the one that would be advised. */
export function planLength(
  scene: Scene,
  plan: PlanRequest,
  losses: Losses,
  notes: Notes,
): { subSeconds: number; mode: ReadMode } {
  cautionLength(plan, notes)
  const [first, ...others] = scene.camera.modes
  if (first !== undefined && others.length === 0 && plan.subSeconds !== undefined) {
    return { subSeconds: plan.subSeconds, mode: first }
  }
  const advice: SubAdvice = adviseSub(adviceInput(scene, plan, losses, notes))
  if (others.length > 0) {
    notes.assume('/camera/readModes', advice.mode.label, 'the read mode that would be advised')
  }
  return {
    subSeconds:
      plan.subSeconds ?? notes.assume('/plan/subSeconds', advice.subSeconds, 'the length that would be advised'),
    mode: advice.mode,
  }
}

export interface StarMeasurement {
  input: StarInput
  apertureRadiusArcsec: number
  peakPixelFraction: number
  peakElectrons: number
  clips: boolean | null
}

/** The star of a scene in its aperture; null where there is none. */
export function measureStar(input: {
  scene: Scene
  plan: PlanRequest
  subSeconds: number
  mode: ReadMode
  calibration: StarInput['calibration']
  notes: Notes
}): StarMeasurement | null {
  const { scene, plan, subSeconds, mode, calibration, notes } = input
  const { plane, pixelScaleArcsec } = scene
  if (plane.starElectronsPerSecond === null || pixelScaleArcsec === null) return null
  const shape = resolveStarShape(plan, pixelScaleArcsec, notes)
  const { backgroundPixels } = plan
  const { samplingFraction } = plane
  const flats = calibration.flatFrames !== undefined
  const starElectrons = plane.starElectronsPerSecond * subSeconds
  const background = allElectronsPerSecond(plane.rates) * subSeconds
  const read = mode.readout.readNoiseElectrons ** 2 + mode.readout.quantizationElectrons2
  const radiusPx =
    plan.apertureRadiusArcsec === undefined
      ? bestApertureRadiusPx({
          ...shape,
          starElectrons,
          backgroundVariancePerPx: background + read,
          ...(backgroundPixels !== undefined && { backgroundPixels: backgroundPixels / samplingFraction }),
        })
      : plan.apertureRadiusArcsec / pixelScaleArcsec
  const apertureRadiusArcsec = radiusPx * pixelScaleArcsec
  if (plan.apertureRadiusArcsec === undefined) {
    notes.assume('/plan/apertureRadiusArcsec', apertureRadiusArcsec, 'the radius of best signal-to-noise ratio')
  }
  const peakFraction = peakPixelFraction(shape)
  const fullest = starElectrons * wellFillingShare(scene, shape) + background
  return {
    input: {
      starElectronsPerSecond: plane.starElectronsPerSecond,
      // Of a mosaic only the pixels of one colour gather the star and its background.
      capturedFraction: capturedFraction({ ...shape, radiusPx }) * samplingFraction,
      aperturePixels: Math.PI * radiusPx ** 2 * samplingFraction,
      backgroundPixels,
      squaredShares: flats ? capturedSquaredShares({ ...shape, radiusPx }) * samplingFraction : 0,
      rates: plane.rates,
      readout: mode.readout,
      subSeconds,
      calibration,
    },
    apertureRadiusArcsec,
    peakPixelFraction: peakFraction,
    peakElectrons: starElectrons * peakFraction + background,
    clips: mode.usableWellElectrons === null ? null : fullest > mode.usableWellElectrons,
  }
}
