import {
  IntegrationTimeAnswerSchema,
  integrationTimeExamples,
  IntegrationTimeRequestSchema,
} from '../../contract/integration-time.ts'
import { clockPerKeptSub } from '../../setup/exposure.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { explainPlane } from '../../setup/plane-words.ts'
import { ratesAnswer } from '../../setup/rates-answer.ts'
import { short, spokenSeconds } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Request, type Solution } from './solve.ts'

export const integrationTime = question({
  id: 'integrationTime',
  path: '/v1/integration-time',
  tag: 'Exposure',
  summary: 'How long until a given SNR?',
  description:
    'The least number of subs that reaches a signal-to-noise ratio on a pixel, on a square arcsecond of the target, or on a star, and the time on the clock that takes. Where calibration frames set a ceiling below the goal, the answer says `reachable: false` and how high the ceiling is.',
  request: IntegrationTimeRequestSchema,
  answer: IntegrationTimeAnswerSchema,
  examples: integrationTimeExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { scene, losses, subSeconds, subCount, ceilingSnr, reachedSnr } = solution
  const clockSeconds = subCount === null ? null : subCount * clockPerKeptSub(subSeconds, losses)
  explain(solution, request, clockSeconds, notes)
  return {
    reachable: subCount !== null,
    subCount,
    integrationSeconds: subCount === null ? null : subCount * subSeconds,
    clockSeconds,
    ceilingSnr,
    reachedSnr,
    subSeconds,
    ...ratesAnswer(scene),
  }
}

const PER_WORDS = { pixel: 'on a pixel', arcsec2: 'on a square arcsecond', star: 'on the star' }

function explain(solution: Solution, { goal }: Request, clockSeconds: number | null, notes: Notes): void {
  const { subCount, subSeconds, ceilingSnr, scene } = solution
  const wanted = `A signal-to-noise ratio of ${short(goal.snr)} ${PER_WORDS[goal.per]}`
  if (subCount === null || clockSeconds === null) {
    notes.explain(
      `${wanted} cannot be reached: what the calibration frames leave behind is the same in every sub, so no number of subs gets above ${short(ceilingSnr ?? 0)}.`,
    )
    notes.explain('More darks and flats raise that ceiling, and so does dithering over more positions.')
    return
  }
  notes.explain(
    `${wanted} takes ${subCount === 1 ? 'one sub' : `${subCount} subs`} of ${spokenSeconds(subSeconds)}: ${spokenSeconds(subCount * subSeconds)} of exposure, about ${spokenSeconds(clockSeconds)} on the clock.`,
  )
  if (ceilingSnr !== null) {
    notes.explain(`With these calibration frames no number of subs gets above ${short(ceilingSnr)}.`)
  }
  explainPlane(scene, notes)
}
