// What a set-up yields on one target from one site: hours on the clock, nights, noise, and a fixed night's ratio.

import type { z } from 'zod'
import type { ChannelYieldSchema, yieldFields } from '../contract/setup-yield.ts'
import { NOISE_TERMS } from '../contract/noise-budget.ts'
import {
  EngineError,
  frameBytes,
  MOST_SUBS,
  nightSecondsForSubs,
  nightsNeeded,
  runSeconds,
  splitTime,
  stackBudget,
  taskCount,
  taskSnr,
  type GatheringRates,
  type NoiseTerms,
  type Outcome,
} from '../engine/index.ts'
import { orPointed, type Bench, type Places } from './comparison-bench.ts'
import {
  channelsOfSetup,
  filterPointer,
  lightsOf,
  type ChoiceGoal,
  type ChoiceSetup,
  type ChoiceTarget,
  type Light,
  type NightRequest,
  type SiteRequest,
} from './comparison-request.ts'
import { runsOf, type Cell, type Run } from './comparison-runs.ts'
import { atWarmest, followsAir, sensorThroughNight, type SensorNight } from './comparison-sensor.ts'
import { cautionSetup } from './cautions.ts'
import { Notes } from './notes.ts'
import type { Scene } from './scene.ts'
import { COMMON_PRACTICE } from './typical.ts'
import { short, spokenSeconds } from './words.ts'

export type YieldAnswer = z.infer<z.ZodObject<typeof yieldFields>>
type ChannelAnswer = z.infer<typeof ChannelYieldSchema>

export interface SetupYield {
  answer: YieldAnswer
  outcome: Outcome
  /** What limits it, for telling where a gain comes from; null where nothing is gathered. */
  gathering: GatheringRates | null
  scene: Scene | null
  sensor: SensorNight | null
}

export interface YieldQuestion {
  setup: ChoiceSetup
  site: SiteRequest
  target: ChoiceTarget
  goal: ChoiceGoal
  night: NightRequest | undefined
  places: { setup: string; site: string; target: string }
}

/** Answers for one set-up, one target and one site. Throws a ProblemError where the request stands in the way. */
export function yieldOf(question: YieldQuestion, bench: Bench): SetupYield {
  const { setup, target, goal, night, site } = question
  return bench.once('yield', [setup, site, target, goal, night], () => newYield(question, bench))
}

function newYield(question: YieldQuestion, bench: Bench): SetupYield {
  const { setup, places, target, goal, site } = question
  const checks = new Notes()
  const channels = channelsOfSetup(setup, places.setup, checks)
  const lights = lightsOf(target, places.target, checks)
  checks.settle()
  const placesOf = (channel: number, light: Light): Places => ({
    setup: places.setup,
    site: places.site,
    filter: filterPointer(setup, places.setup, channel),
    light: light.pointer,
  })
  const base = { channels, lights, sky: site.sky, goal, placesOf }
  const wholePlaces = placesOf(0, lights[0] ?? NO_LIGHT)
  try {
    const sensor = sensorOf(question, wholePlaces, bench)
    const darkElectronsPerPixelSecond = sensor?.meanDarkElectronsPerPixelSecond ?? null
    const warmed = sensor !== null && followsAir(setup.camera) ? atWarmest(setup, sensor) : null
    const runs = runsOf({ setup: warmed ?? setup, darkElectronsPerPixelSecond, ...base }, bench)
    const [first] = runs
    if (first === undefined) return nothing('Some light of the target reaches no channel of this set-up.')
    const clock = bench.within(wholePlaces, (part) => {
      const { camera } = first.scene
      cautionSetup({ camera: warmed === null ? camera : { ...camera, cooled: false } }, part)
      return clockOf(question, runs.length, part)
    })
    return { ...yieldOfRuns(question, runs, clock), scene: first.scene, sensor }
  } catch (error) {
    if (error instanceof EngineError) return nothing(error.message)
    throw error
  }
}

const NO_LIGHT: Light = { target: {}, line: null, pointer: '' }

/** The sensor through the night; its dark current is that of the camera alone, whatever the filter. */
function sensorOf({ setup, night }: YieldQuestion, places: Places, bench: Bench): SensorNight | null {
  if (night === undefined) return null
  const { camera, sensorAboveAirCelsius } = setup
  return bench.noted('sensor', [camera, night, { sensorAboveAirCelsius }], places, (part) =>
    orPointed(setup, () => sensorThroughNight(setup, night, part)),
  )
}

interface Clock {
  nightSeconds: number
  travelSeconds: number
  refocusSeconds: number
  filterChangeSeconds: number
}

/** Four hours: a night's work between dusk, Moon and bedtime. Common practice, no source. */
const HOURS_PER_NIGHT = 4

function clockOf({ setup, site }: YieldQuestion, runCount: number, notes: Notes): Clock {
  const { refocusSeconds, filterChangeSeconds } = setup.plan ?? {}
  const { travelHours, hoursPerNight } = site
  return {
    nightSeconds: 3600 * (hoursPerNight ?? notes.assume('/site/hoursPerNight', HOURS_PER_NIGHT, COMMON_PRACTICE)),
    travelSeconds: 3600 * (travelHours ?? notes.assume('/site/travelHours', 0, 'not given')),
    refocusSeconds: refocusSeconds ?? notes.assume('/plan/refocusSeconds', 120, COMMON_PRACTICE),
    filterChangeSeconds:
      runCount === 1 ? 0 : (filterChangeSeconds ?? notes.assume('/plan/filterChangeSeconds', 10, COMMON_PRACTICE)),
  }
}

function nothing(reason: string): SetupYield {
  return {
    answer: {
      reachable: false,
      reason,
      totalHours: null,
      clockHours: null,
      integrationHours: null,
      nights: null,
      limitingChannel: null,
      limitingNoise: null,
      snrInNight: null,
      snrPerArcsec2InNight: null,
      luminanceSnrPerArcsec2InNight: null,
      dataGigabytes: null,
      channels: [],
    },
    outcome: { seconds: null, nightSnr: 0 },
    gathering: null,
    scene: null,
    sensor: null,
  }
}

/** One run on its way to the goal, and in one night. */
interface RunYield {
  run: Run
  /** Subs to the goal, at least one; null when it is out of reach. */
  count: number | null
  nightCount: number
  timeShare: number
}

function yieldOfRuns(
  question: YieldQuestion,
  runs: readonly Run[],
  clock: Clock,
): Omit<SetupYield, 'scene' | 'sensor'> {
  const availableSeconds = nightSecondsForSubs({ runCount: runs.length, ...clock })
  const tasks = runs.map(({ cells }) => cells.map(({ task }) => task))
  const split = splitTime({ runs: tasks, availableSeconds })
  const yields = runs.map((run, index): RunYield => {
    const seconds = split.seconds[index] ?? 0
    return {
      run,
      count: countOf(run),
      nightCount: seconds / clockPerSub(run),
      timeShare: availableSeconds === 0 ? 0 : Math.min(1, seconds / availableSeconds),
    }
  })
  const time = timeOf(yields, clock)
  const cells = yields.flatMap((it) => it.run.cells.map((cell) => ({ it, cell, answer: channelAnswer(it, cell) })))
  const slowest = cells.reduce((a, b) => (hardness(b) > hardness(a) ? b : a))
  const [gathering, exposureShare] = gatheringOf(slowest, yields, clock)
  const nightSnr = split.level * question.goal.snr
  return {
    answer: {
      ...time,
      limitingChannel: slowest.answer.name,
      limitingNoise: slowest.answer.dominantTerm,
      snrInNight: nightSnr,
      snrPerArcsec2InNight: smallest(cells.map(({ answer }) => answer.snrPerArcsec2InNight)),
      luminanceSnrPerArcsec2InNight: quadrature(
        cells.filter(({ cell }) => cell.line === null).map(({ answer }) => answer.snrPerArcsec2InNight),
      ),
      dataGigabytes: gigabytes(question.setup, yields, time.reachable),
      channels: cells.map(({ answer }) => answer),
    },
    outcome: { seconds: time.totalHours === null ? null : time.totalHours * 3600, nightSnr },
    gathering: exposureShare > 0 ? gathering : null,
  }
}

function clockPerSub({ cells }: Run): number {
  return cells[0]?.task.clockSecondsPerSub ?? NaN
}

function countOf(run: Run): number | null {
  const seconds = runSeconds(
    run.cells.map(({ task }) => task),
    1,
  )
  const count = seconds === null ? null : Math.max(1, seconds / clockPerSub(run))
  return count === null || count > MOST_SUBS ? null : count
}

/** By what a cell's way to its goal is measured against others': the time it takes on its own. */
function hardness({ cell }: { cell: Cell }): number {
  return runSeconds([cell.task], 1) ?? Infinity
}

type TimeAnswer = Pick<
  YieldAnswer,
  'reachable' | 'reason' | 'totalHours' | 'clockHours' | 'integrationHours' | 'nights'
>

function timeOf(yields: readonly RunYield[], clock: Clock): TimeAnswer {
  const outOfReach = (reason: string): TimeAnswer => ({
    reachable: false,
    reason,
    totalHours: null,
    clockHours: null,
    integrationHours: null,
    nights: null,
  })
  const failed = yields.find(({ count }) => count === null)
  if (failed !== undefined) return outOfReach(whyOutOfReach(failed.run))
  const total = (part: (it: RunYield, count: number) => number) =>
    yields.reduce((sum, it) => sum + part(it, it.count ?? NaN), 0)
  const workSeconds = total(({ run }, count) => count * clockPerSub(run))
  const needed = nightsNeeded({ workSeconds, runCount: yields.length, ...clock })
  if (needed === null) return outOfReach('A night there is over before the focusing is.')
  const clockSeconds = workSeconds + needed.deadSeconds
  return {
    reachable: true,
    reason: null,
    totalHours: (clockSeconds + needed.nights * clock.travelSeconds) / 3600,
    clockHours: clockSeconds / 3600,
    integrationHours: total(({ run }, count) => count * run.length.subSeconds) / 3600,
    nights: needed.nights,
  }
}

function whyOutOfReach({ cells, length }: Run): string {
  const blocked = cells.find(({ task }) => taskCount(task, 1) === null)
  if (blocked === undefined) return `More than ${short(MOST_SUBS)} subs would be needed.`
  const { task, name, perGoalUnit } = blocked
  const ceiling = task.signalElectrons * Math.sqrt(task.ditherPositions / task.calibrationVariance) * perGoalUnit
  return `What the calibration frames leave is the same in every sub, so with subs of ${spokenSeconds(length.subSeconds)} “${name}” gets no higher than ${short(ceiling)}.`
}

function channelAnswer({ run, count, nightCount, timeShare }: RunYield, cell: Cell): ChannelAnswer {
  const { plane, task, perGoalUnit, perArcsec2 } = cell
  const { subSeconds, mode, limitedBy } = run.length
  const snr = nightCount > 0 ? taskSnr(task, nightCount) : 0
  const { shares } = budgetOf(run, cell, count ?? nightCount)
  return {
    name: cell.name,
    plane: plane.channel,
    samplingFraction: plane.samplingFraction,
    subSeconds,
    ...(run.scene.camera.modes.length > 1 && { readMode: mode.label }),
    limitedBy,
    subCount: count === null ? null : wholeCount(count),
    clockHours: count === null ? null : (count * task.clockSecondsPerSub) / 3600,
    timeShare,
    snrInNight: snr * perGoalUnit,
    snrPerArcsec2InNight: perArcsec2 === null ? null : snr * perArcsec2,
    dominantTerm: NOISE_TERMS.reduce((a, b) => (shares[b] > shares[a] ? b : a)),
    noiseShares: shares,
    ...plane.rates,
  }
}

/** A stack holds whole subs; what lies above one by rounding alone is none. */
function wholeCount(count: number): number {
  return Math.max(1, Math.ceil(count * (1 - 1e-9)))
}

function budgetOf({ length, combine, calibration }: Run, { plane }: Cell, count: number) {
  const { subSeconds, mode } = length
  const subCount = wholeCount(Math.min(count, MOST_SUBS))
  return stackBudget({ rates: plane.rates, readout: mode.readout, subSeconds, subCount, combine, calibration })
}

function smallest(values: readonly (number | null)[]): number | null {
  return values.reduce((least, value) => (value === null || least === null ? null : Math.min(least, value)), Infinity)
}

/** Independent estimates of one brightness add up in SNR². */
function quadrature(values: readonly (number | null)[]): number | null {
  if (values.length === 0) return null
  return values.reduce<number | null>(
    (sum, value) => (value === null || sum === null ? null : Math.hypot(sum, value)),
    0,
  )
}

/** How fast the limiting channel gathers information over a night and the way there. */
function gatheringOf(
  { it, cell }: { it: RunYield; cell: Cell },
  yields: readonly RunYield[],
  clock: Clock,
): [GatheringRates, number] {
  const { run, nightCount } = it
  const { subSeconds } = run.length
  const unit = (cell.perArcsec2 ?? 1) ** 2
  const budget = budgetOf(run, cell, Math.max(1, nightCount))
  const integration = (subSeconds * budget.signalElectrons) / cell.task.signalElectrons
  const perSecond = (budget.noiseElectrons ** 2 * unit) / integration
  const exposed = yields.reduce((sum, { run: { length }, nightCount: subs }) => sum + subs * length.subSeconds, 0)
  const exposureShare = exposed / (clock.nightSeconds + clock.travelSeconds)
  const noise = Object.fromEntries(NOISE_TERMS.map((term) => [term, budget.shares[term] * perSecond]))
  return [
    {
      signalElectronsPerSecond: cell.plane.rates.targetElectronsPerPixelSecond * unit,
      noise: noise as Record<keyof NoiseTerms, number>,
      exposureShare,
    },
    exposureShare,
  ]
}

const DEFAULT_BIT_DEPTH = 16

function gigabytes(setup: ChoiceSetup, yields: readonly RunYield[], reachable: boolean): number | null {
  const { camera } = yields[0]?.run.scene ?? {}
  if (!reachable || camera?.widthPx === undefined || camera.heightPx === undefined) return null
  const { widthPx, heightPx, binning } = camera
  const pixels = Math.max(1, Math.floor(widthPx / binning) * Math.floor(heightPx / binning))
  const bytes = frameBytes({ pixels, bitDepth: setup.camera.bitDepth ?? DEFAULT_BIT_DEPTH })
  return yields.reduce((sum, { count }) => sum + wholeCount(count ?? 1) * bytes, 0) / 1e9
}
