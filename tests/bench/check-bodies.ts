// Sessions with a long history to check, each as noisy as a night is. Seeded: every run asks the same.

import { sessionCheckExamples } from '../../src/contract/session-check-examples.ts'
import type { sessionCheck } from '../../src/routes/session-check/index.ts'
import { seededRandom } from '../support/random.ts'

export const SUBS = 500
const BODIES = 60

type Request = Parameters<typeof sessionCheck.handle>[0]

/** The garden's session of 500 subs. */
function requestOf(seed: number): Request {
  const random = seededRandom(seed)
  const example = sessionCheckExamples['cloud-over-the-garden']?.request as Request
  const subs = Array.from({ length: SUBS }, (_, index) => ({
    startedAt: new Date(Date.UTC(2026, 10, 14, 21, 0, index * 186)).toISOString(),
    subSeconds: 180,
    backgroundAdu: Math.round(random.normal(590, 2)),
    sensorCelsius: Number(random.normal(-10, 0.1).toFixed(1)),
    relativeStarFlux: Number(random.normal(1, 0.02).toFixed(3)),
    relativeFwhm: Number(random.normal(1, 0.03).toFixed(3)),
  }))
  return { ...example, goal: { snr: 80, per: 'pixel' }, endsAt: undefined, subs }
}

export const checkRequests = () => Array.from({ length: BODIES }, (_, index) => requestOf(index + 1))
