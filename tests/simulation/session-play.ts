// Plays a night with or without the checks, and tells what it collected and what was named when.

import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { Draws } from './draws.ts'
import { takeFrame, type Frame, type NightScript } from './session-night.ts'

type Request = Parameters<typeof sessionCheck.handle>[0]
export type Answer = ReturnType<typeof sessionCheck.handle>

const START = Date.UTC(2026, 10, 14, 20) / 1000

export interface Played {
  frames: Frame[]
  /** Σ (target electrons/scatter)² of the frames. */
  information: number
  answers: Answer[]
  /** Seconds at which each answer was given. */
  answeredAt: number[]
}

export function at(seconds: number): string {
  return new Date((START + seconds) * 1000).toISOString()
}

export function subOf(frame: Frame) {
  return {
    startedAt: at(frame.startSeconds),
    subSeconds: frame.subSeconds,
    backgroundAdu: frame.backgroundAdu,
    sensorCelsius: frame.sensorCelsius,
    relativeStarFlux: frame.relativeStarFlux,
    relativeFwhm: frame.relativeFwhm,
  }
}

/** A whole night in subs of one length. */
export function playFixed(night: NightScript, subSeconds: number, seed: number): Played {
  const draws = new Draws(seed)
  const frames: Frame[] = []
  let information = 0
  for (let clock = 0; clock + subSeconds <= night.durationSeconds; clock += subSeconds + night.overheadSeconds) {
    const frame = takeFrame(night, clock, subSeconds, draws)
    information += (frame.targetElectrons / frame.scatterElectrons) ** 2
    frames.push(frame)
  }
  return { frames, information, answers: [], answeredAt: [] }
}

/** A night that asks after every sub, sending the last so many. */
export function playChecked(
  night: NightScript,
  {
    setup,
    firstSeconds,
    seed,
    window = Infinity,
    sub = subOf,
  }: {
    setup: Omit<Request, 'subs'>
    firstSeconds: number
    seed: number
    window?: number
    sub?: (frame: Frame) => Request['subs'][number]
  },
): Played {
  const draws = new Draws(seed)
  const played: Played = { frames: [], information: 0, answers: [], answeredAt: [] }
  let subSeconds = firstSeconds
  let clock = 0
  while (clock + subSeconds <= night.durationSeconds) {
    const frame = takeFrame(night, clock, subSeconds, draws)
    played.frames.push(frame)
    played.information += (frame.targetElectrons / frame.scatterElectrons) ** 2
    const answer = sessionCheck.handle({ ...setup, subs: played.frames.slice(-window).map(sub) })
    played.answers.push(answer)
    played.answeredAt.push(clock + subSeconds)
    if (answer.action === 'finish') break
    clock += subSeconds + night.overheadSeconds
    if (answer.tryAgainAt !== null) clock = Math.max(clock, Date.parse(answer.tryAgainAt) / 1000 - START)
    subSeconds = answer.subSeconds
  }
  return played
}

/** Each name that was given, with the start of the sub that it was said of and when it was said. */
export function namesGiven({ answers, answeredAt }: Played): { name: string; since: number; said: number }[] {
  return answers.flatMap(({ conditions }, index) =>
    conditions.map(({ name, since }) => ({
      name,
      since: Date.parse(since) / 1000 - START,
      said: answeredAt[index] ?? NaN,
    })),
  )
}
