// `npm run bench:check`: the check of a session with 500 subs of history at 20 connections, every body another. The server
// runs in a process of its own, each on a core of its own beside the load generator where the machine has `taskset`.

import { sessionCheckExamples } from '../../src/contract/session-check-examples.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { seededRandom } from '../support/random.ts'
import { callMicroseconds, load, median, say, start, stop, type Run } from './load.ts'
import { loadPaced } from './paced.ts'

const SUBS = 500
const BODIES = 60
const CONNECTIONS = 20
const SECONDS = 5
const ROUNDS = 5
/** Requests a second: 20 cameras that ask every 2 s, and a busy service. */
const RATES = [10, 100]

type Request = Parameters<typeof sessionCheck.handle>[0]

/** The garden's session of 500 subs, as noisy as a night is. */
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

const requests = Array.from({ length: BODIES }, (_, index) => requestOf(index + 1))
const bodies = requests.map((request) => JSON.stringify(request))
say(`${BODIES} bodies of ${SUBS} subs, ${Math.round(median(bodies.map(({ length }) => length)))} bytes each`)
const alone = callMicroseconds(requests, (request) => sessionCheck.handle(request), 20)
say(`answer alone (no HTTP): ${alone.toFixed(0)} µs of CPU`)
const served = await start('ledger')
const usual = { path: '/v1/session-check', bodies, connections: CONNECTIONS, seconds: SECONDS }
await load(served, usual)
const ways: [string, () => Promise<Run>][] = [
  ...RATES.map((perSecond): [string, () => Promise<Run>] => [
    `${perSecond} a second, one by one`,
    () => loadPaced(served, { ...usual, perSecond }),
  ]),
  ['flat out', () => load(served, usual)],
]
for (const [way, ask] of ways) {
  const runs: Run[] = []
  for (let round = 0; round < ROUNDS; round++) runs.push(await ask())
  const middle = (figure: keyof Run) => median(runs.map((run) => run[figure])).toFixed(1)
  say(
    `${way}: ${middle('requestsPerSecond')} requests a second, ${middle('cpuMicroseconds')} µs of CPU each, p50 ${middle('p50Milliseconds')} ms, p99 ${middle('p99Milliseconds')} ms`,
  )
}
await stop(served)
