// A set-up on a target: which of its channels and colour planes gather which light, with which subs.

import {
  adviseSub,
  calibrationVariance,
  efficiency,
  informationRate,
  LONGEST_SUB_SECONDS,
  MOST_SUBS,
  readNoiseSeconds,
  roundDown,
  roundUp,
  runSeconds,
  SHORTEST_SUB_SECONDS,
  subNoiseTerms,
  taskCount,
  totalVariance,
  type Calibration,
  type Combine,
  type ExposureTask,
  type Losses,
  type ReadMode,
} from '../engine/index.ts'
import type { Bench, Places } from './comparison-bench.ts'
import { channelName, type ChoiceChannel, type ChoiceGoal, type ChoiceSetup, type Light } from './comparison-request.ts'
import { adviceInput, cautionLength, clockPerKeptSub, refuseFullWell, survives } from './exposure.ts'
import { perArcsec2 } from './goal.ts'
import type { Notes } from './notes.ts'
import { resolveLosses, resolveStacking } from './plan.ts'
import { seeingPlanes, showsTarget, type Plane, type Scene, type SceneRequest } from './scene.ts'

export interface Length {
  subSeconds: number
  mode: ReadMode
  /** What sets it; `given` where the plan does. */
  limitedBy: string
}

/** One light on one colour plane. */
export interface Cell {
  name: string
  line: string | null
  plane: Plane
  /** Signal-to-noise ratio in the unit of the goal over that of one pixel. */
  perGoalUnit: number
  /** The same for a square arcsecond; null where the scale is unknown. */
  perArcsec2: number | null
  task: ExposureTask
}

/** One series of subs through one filter. */
export interface Run {
  channel: number
  length: Length
  scene: Scene
  losses: Losses
  combine: Combine
  calibration: Calibration
  cells: Cell[]
}

export interface RunsQuestion {
  setup: ChoiceSetup
  channels: readonly ChoiceChannel[]
  lights: readonly Light[]
  sky: SceneRequest['sky']
  goal: ChoiceGoal
  /** Dark current through the night in place of the camera's own; null where nothing changes. */
  darkElectronsPerPixelSecond: number | null
  placesOf: (channel: number, light: Light) => Places
}

/** The runs of a set-up; one for each channel that some light needs. Empty where a light is seen by none. */
export function runsOf(question: RunsQuestion, bench: Bench): Run[] {
  const { channels, lights } = question
  const runs: Run[] = []
  for (const light of lights) {
    const seen = channels.flatMap((_, channel) => runOf(question, channel, light, bench) ?? [])
    const [first, ...others] = seen
    if (first === undefined) return []
    // A continuum is wanted in every channel, a line in the one that is quickest for it.
    runs.push(...(light.line === null ? seen : [others.reduce((a, b) => (pace(b) < pace(a) ? b : a), first)]))
  }
  const all = channels.flatMap((_, channel) => merged(runs.filter((run) => run.channel === channel)))
  for (const run of all) cautionMixed(run, question, bench)
  return all
}

/** Two lines on the same pixels come out as one sum. */
function cautionMixed({ channel, cells }: Run, { channels, lights, placesOf }: RunsQuestion, bench: Bench): void {
  for (const [index, { line, plane }] of cells.entries()) {
    const mixed = cells.slice(index + 1).find((other) => other.line !== null && other.plane.channel === plane.channel)
    const [light] = lights
    if (line === null || mixed?.line == null || light === undefined) continue
    const filter = channelName(channels[channel] ?? {})
    bench.within(placesOf(channel, light), (part) => {
      part.caution(
        `“${filter}” puts ${line} and ${mixed.line} on the same pixels: the picture holds their sum, and nothing tells them apart.`,
      )
    })
  }
}

/** Time to the goal, Infinity where calibration leaves it out of reach. */
function pace({ cells }: Run): number {
  return (
    runSeconds(
      cells.map(({ task }) => task),
      1,
    ) ?? Infinity
  )
}

/** Lights that share a series share the subs that suit the slowest of them. */
function merged(runs: readonly Run[]): Run[] {
  const [first, ...others] = runs
  if (first === undefined) return []
  const slowest = others.reduce((a, b) => (pace(b) > pace(a) ? b : a), first)
  const cells = runs.flatMap((run) =>
    run.cells.map((cell) => ({ ...cell, task: taskOf(slowest, cell, cell.task.snr) })),
  )
  return [{ ...slowest, cells }]
}

function runOf(question: RunsQuestion, channel: number, light: Light, bench: Bench): Run | null {
  const { setup, channels, goal } = question
  const it = channels[channel] ?? {}
  const places = question.placesOf(channel, light)
  const scene = amongOthers(sceneOf(question, it, light, places, bench), question, channel, light, bench)
  const seeing = showsTarget(scene.planes) ? seeingPlanes(scene.planes) : []
  if (seeing.length === 0) return null
  return bench.within(places, (part) => {
    const plan = setup.plan ?? {}
    const losses = resolveLosses(plan, part)
    const { combine, calibration } = resolveStacking(plan, part)
    part.settle()
    const options = seeing.map((plane) => {
      const planeScene = { ...scene, plane }
      const unit = { perGoalUnit: perGoalUnit(goal, planeScene), perArcsec2: perArcsec2(planeScene) }
      const cell = { name: cellName(light, plane, it), line: light.line, plane, ...unit }
      const snr = (goal.snr * (it.goalShare ?? 1)) / unit.perGoalUnit
      const runWith = (length: Length): Run => {
        const run = { channel, length, scene: planeScene, losses, combine, calibration }
        return { cells: [{ task: taskOf(run, cell, snr), ...cell }], ...run }
      }
      const length = lengthOf(planeScene, plan, losses, part, (length) =>
        survives(length.subSeconds, losses) ? pace(runWith(length)) : Infinity,
      )
      refuseFullWell(plane.rates, length.mode, length.subSeconds)
      return runWith(length)
    })
    const quicker = (a: Run, b: Run) => (pace(b) < pace(a) ? b : a)
    if (light.line !== null) return options.reduce(quicker)
    const slowest = options.reduce((a, b) => (quicker(a, b) === a ? b : a))
    const cells = options.flatMap((run) =>
      run.cells.map((cell) => ({ ...cell, task: taskOf(slowest, cell, cell.task.snr) })),
    )
    return { ...slowest, cells }
  })
}

/** A scene whose background holds what the other lights of the target put on the same pixels. */
function amongOthers(scene: Scene, question: RunsQuestion, channel: number, light: Light, bench: Bench): Scene {
  const others = question.lights.filter((other) => other !== light)
  if (others.length === 0) return scene
  const scenes = others.map((other) =>
    sceneOf(question, question.channels[channel] ?? {}, other, question.placesOf(channel, other), bench),
  )
  const lightOn = (wanted: Plane) =>
    scenes
      .flatMap(({ planes }) => planes.filter((plane) => plane.channel === wanted.channel))
      .reduce((sum, { rates }) => sum + rates.targetElectronsPerPixelSecond, 0)
  const planes = scene.planes.map((plane) => {
    const { rates } = plane
    const skyElectronsPerPixelSecond = rates.skyElectronsPerPixelSecond + lightOn(plane)
    return { ...plane, rates: { ...rates, skyElectronsPerPixelSecond } }
  })
  return { ...scene, planes }
}

function cellName({ line }: Light, plane: Plane, channel: ChoiceChannel): string {
  const filter = channelName(channel)
  const what = line ?? (plane.channel === 'mono' ? filter : plane.channel)
  return what === filter ? what : `${what} through ${filter}`
}

function sceneOf(
  question: RunsQuestion,
  { filter }: ChoiceChannel,
  { target }: Light,
  places: Places,
  bench: Bench,
): Scene {
  const { setup, sky, goal, darkElectronsPerPixelSecond: dark } = question
  const { camera, optics } = setup
  const needs = {
    scale: goal.per === 'pixel' ? null : 'needed to turn pixels into angles on the sky',
    unclippedStarMag: setup.plan?.unclippedStarMag,
  }
  const scene = bench.scene({ camera, optics, filter, sky, target }, needs, places)
  if (dark === null) return scene
  const planes = scene.planes.map((plane) => ({
    ...plane,
    rates: { ...plane.rates, darkElectronsPerPixelSecond: dark },
  }))
  return { ...scene, planes }
}

/**
 * The length that would be advised, rounded to the side that yields more, so that nothing wins by the luck of rounding.
 *
 * @param paceWith  time to the goal with subs of a length
 */
function lengthOf(
  scene: Scene,
  plan: NonNullable<ChoiceSetup['plan']>,
  losses: Losses,
  part: Notes,
  paceWith: (length: Length) => number,
): Length {
  cautionLength(plan, part)
  const [only, ...others] = scene.camera.modes
  if (plan.subSeconds !== undefined && only !== undefined && others.length === 0) {
    return { subSeconds: plan.subSeconds, mode: only, limitedBy: 'given' }
  }
  const advice = adviseSub(adviceInput(scene, plan, losses, part))
  const { mode, limitedBy, bestSeconds, limits } = advice
  if (plan.subSeconds !== undefined) return { subSeconds: plan.subSeconds, mode, limitedBy: 'given' }
  const ceiling = Math.min(...limits.filter(({ hard }) => hard).map(({ seconds }) => seconds))
  if (plan.calibration !== undefined) {
    const advised = { subSeconds: advice.subSeconds, mode, limitedBy }
    return quickestOf(advised, plan.subLadderSeconds ?? ROUND_LENGTHS, ceiling, paceWith)
  }
  if (plan.subLadderSeconds !== undefined || bestSeconds === null) {
    return { subSeconds: advice.subSeconds, mode, limitedBy }
  }
  const aim = Math.min(bestSeconds, ceiling)
  const model = { ...losses, readNoiseSeconds: readNoiseSeconds({ rates: scene.plane.rates, readout: mode.readout }) }
  const round = [roundDown(aim), roundUp(aim)].filter((seconds) => seconds > 0 && seconds <= ceiling)
  const yielded = (seconds: number) => informationRate(seconds, model)
  const best = round.reduce((a, b) => (yielded(b) > yielded(a) ? b : a), round[0] ?? advice.subSeconds)
  return { subSeconds: best, mode, limitedBy }
}

/** Every round length up to a day. */
const ROUND_LENGTHS = roundLengths()

function roundLengths(): number[] {
  const lengths: number[] = []
  for (let next = SHORTEST_SUB_SECONDS; next <= LONGEST_SUB_SECONDS; next = roundUp(next * 1.0001)) lengths.push(next)
  return lengths
}

/**
 * Of the lengths under a ceiling the one that is soonest at the goal. The advice counts no calibration, but what darks
 * leave is the same in every sub, and less beside the signal of longer ones: near the ceiling of the stack that decides.
 */
function quickestOf(
  advised: Length,
  lengths: readonly number[],
  ceilingSeconds: number,
  paceWith: (length: Length) => number,
): Length {
  let best = advised
  let least = paceWith(advised)
  for (const subSeconds of lengths) {
    if (subSeconds > ceilingSeconds) continue
    const length: Length = { subSeconds, mode: advised.mode, limitedBy: 'calibration' }
    const pace = paceWith(length)
    if (pace < least) [best, least] = [length, pace]
  }
  return best
}

function taskOf(run: Omit<Run, 'cells'>, { plane }: Pick<Cell, 'plane'>, snr: number): ExposureTask {
  const { length, losses, combine, calibration } = run
  const { subSeconds, mode } = length
  const input = { rates: plane.rates, readout: mode.readout, subSeconds, calibration }
  const task: ExposureTask = {
    signalElectrons: plane.rates.targetElectronsPerPixelSecond * subSeconds,
    variance: totalVariance(subNoiseTerms(input)),
    calibrationVariance: calibrationVariance(input),
    ditherPositions: calibration.ditherPositions ?? 1,
    snr,
    clockSecondsPerSub: clockPerKeptSub(subSeconds, losses),
  }
  if (combine === 'mean') return task
  // The estimator's efficiency at the number of subs that the mean would take.
  const count = Math.ceil(Math.min(MOST_SUBS, Math.max(1, taskCount(task, 1) ?? MOST_SUBS)))
  return { ...task, variance: task.variance / efficiency({ combine, count }) }
}

function perGoalUnit(goal: ChoiceGoal, scene: Scene): number {
  return goal.per === 'pixel' ? 1 : (perArcsec2(scene) ?? 1)
}
