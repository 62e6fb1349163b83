import type { z } from 'zod'
import { SessionCheckAnswerSchema } from '../../contract/session-check-answer.ts'
import { sessionCheckExamples } from '../../contract/session-check-examples.ts'
import { SessionCheckRequestSchema } from '../../contract/session-check.ts'
import { valueAt } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { isSpeakable, spokenTime } from '../../setup/spoken-time.ts'
import { question } from '../endpoint.ts'
import { PAUSE_SHARE, presentShare } from './action.ts'
import { quickSubs } from './quick-subs.ts'
import { reasonOf } from './reason.ts'
import { isUncooled, type Solution } from './solution.ts'
import { quantities, solve } from './solve.ts'
import { plannedSky, type State } from './state.ts'
import { tableOf, type SubTable } from './sub-table.ts'
import { conditionWords, explain } from './words.ts'

export const sessionCheck = question({
  id: 'sessionCheck',
  path: '/v1/session-check',
  tag: 'Session',
  summary: 'Keep, lengthen, shorten, pause, finish?',
  description:
    'For a script beside the camera: after each sub it sends the set-up and the subs so far, and is told what to do next. Send what you measured of each sub; a camera and a few backgrounds are enough. The length changes only where information per clock hour gains more than `minimumGain` at the sky that was measured, and clearly more than noise could feign, so that constant conditions never change it twice. The advice is to pause while an hour is worth less than a twentieth of an undisturbed one, and to finish when every goal is reached or no further sub ends in time. What goes on is told by what moves together: cloud dims the stars, the Moon lifts the background and leaves them, frost dims and widens them while the sensor holds its temperature, a light that passes lifts one sub. Each is judged by its own scatter from sub to sub. The answer depends on the request alone; now is the end of the last sub.',
  request: SessionCheckRequestSchema,
  answer: SessionCheckAnswerSchema,
  bodyLimitBytes: 1_048_576,
  examples: sessionCheckExamples,
  handle: (request) => answerTo(request, tableOf(request.subs)),
  quick: { field: 'subs', take: quickSubs, handle: answerTo },
})

/** No number of a sub has an uncertainty, and there are many: they need not be searched for one. */
function answerTo(request: z.infer<typeof SessionCheckRequestSchema>, subs: SubTable) {
  return inquire(
    { ...request, subs: [] },
    {
      solve: (plain, notes) => solve({ ...plain, subs }, notes),
      quantities: (plain, base) => quantities({ ...plain, subs }, base),
      encode,
    },
  )
}

function encode(solution: Solution, notes: Notes) {
  const { action, filters, next, state, weights } = solution
  explain(solution, notes)
  const uncooled = isUncooled(solution)
  const conditions = solution.conditions.map(({ name, from, to }) => {
    const explanation = conditionWords(name, uncooled)
    notes.explain(explanation)
    return {
      name:
        uncooled && (name === 'cooling-failure' || name === 'colder-than-set-point')
          ? ('temperature-drift' as const)
          : name,
      since: spokenTime(valueAt(state.subs.startSeconds, from)),
      subCount: to - from + 1,
      explanation,
    }
  })
  return {
    action: action.name,
    subSeconds: action.subSeconds,
    filter: filters[next]?.setup.label ?? null,
    reason: reasonOf(solution),
    tryAgainAt: timeOf(action.tryAgainSeconds),
    gain: filters[next]?.length.gain ?? 0,
    snr: filters[next]?.progress.snr ?? null,
    weights,
    filters: filters.map(({ setup, progress, length, subsToGoal }) => ({
      label: setup.label,
      subCount: progress.subCount,
      integrationSeconds: progress.integrationSeconds,
      snr: progress.snr,
      goalSnr: setup.goal?.snr ?? null,
      ceilingSnr: progress.ceilingSnr,
      reached: progress.reached,
      subSeconds: length.subSeconds,
      subsToGoal: subsToGoal === null ? null : Math.ceil(subsToGoal - 1e-9),
    })),
    remaining: remaining(solution),
    conditions,
    doubtfulSubs: doubtful(state, weights).slice(-MOST_DOUBTFUL),
    present: present(solution),
    darks: darks(solution),
  }
}

const MOST_DOUBTFUL = 200

/** null for a time after all that can be said. */
function timeOf(seconds: number | null): string | null {
  return seconds === null || !isSpeakable(seconds) ? null : spokenTime(seconds)
}

function remaining({ remaining: left, nowSeconds }: Solution) {
  if (left === null) return null
  return { ...left, endsAt: nowSeconds === null ? null : timeOf(nowSeconds + left.clockSeconds) }
}

const DOUBTS = ['clipped-background', 'frost', 'cloud', 'passing-light'] as const

function doubtful({ subs, course, judged }: State, weights: 'optimal' | 'equal') {
  return [...judged.worth].flatMap(([at, { informationShare, raisesMean }]) => {
    const cause = DOUBTS.find((name) => course.names[at]?.has(name))
    if (cause === undefined) return []
    const keep = weights === 'equal' ? raisesMean : informationShare >= PAUSE_SHARE
    return [{ index: valueAt(subs.index, at), cause, informationShare, keep }]
  })
}

function darks({ darks: found }: Solution) {
  if (found === null) return null
  const { celsius, match, matchingSubSeconds } = found
  return { celsius, match, matchingSubSeconds }
}

function present({ filters, next, state }: Solution) {
  const setup = filters[next]?.setup
  const sky = state.present[next]?.skyElectronsPerSecond ?? 0
  const ratio = setup === undefined ? NaN : sky / plannedSky(setup)
  return {
    skyElectronsPerPixelSecond: sky * (setup?.planeShare ?? 1),
    skyToPlan: Number.isFinite(ratio) ? ratio : null,
    darkElectronsPerPixelSecond: state.darkElectronsPerSecond,
    transparency: state.transparency,
    informationShare: presentShare(state),
  }
}
