// `npm run bench:check`: the check of a session with 500 subs of history at 20 connections, every body another, beside a
// bare fastify route with the same body sizes. The servers run in processes of their own, each on a core of its own beside
// the load generator where the machine has `taskset`.

import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { checkRequests, SUBS } from './check-bodies.ts'
import { callMicroseconds, load, median, pin, say, start, stop, type Run } from './load.ts'
import { loadPaced } from './paced.ts'

const CONNECTIONS = 20
const SECONDS = 5
const ROUNDS = 5
/** Requests a second: 20 cameras that ask every 2 s, and a busy service. */
const RATES = [10, 100]

const requests = checkRequests()
const bodies = requests.map((request) => JSON.stringify(request))
say(`${bodies.length} bodies of ${SUBS} subs, ${Math.round(median(bodies.map(({ length }) => length)))} bytes each`)
const alone = callMicroseconds(requests, (request) => sessionCheck.handle(request), 20)
say(`answer alone (no HTTP): ${alone.toFixed(0)} µs of CPU`)
pin()
const servers = { bare: await start('bare'), ledger: await start('ledger') }
const kinds = ['bare', 'ledger'] as const
const usual = { path: '/v1/session-check', bodies, connections: CONNECTIONS, seconds: SECONDS }
for (const kind of kinds) await load(servers[kind], usual)
const ways: [string, (kind: (typeof kinds)[number]) => Promise<Run>][] = [
  ...RATES.map((perSecond): [string, (kind: (typeof kinds)[number]) => Promise<Run>] => [
    `${perSecond} a second, one by one`,
    (kind) => loadPaced(servers[kind], { ...usual, perSecond }),
  ]),
  ['flat out', (kind) => load(servers[kind], usual)],
]
for (const [way, ask] of ways) {
  const runs = { bare: [] as Run[], ledger: [] as Run[] }
  for (let round = 0; round < ROUNDS; round++) for (const kind of kinds) runs[kind].push(await ask(kind))
  for (const kind of kinds) {
    const middle = (figure: keyof Run) => median(runs[kind].map((run) => run[figure])).toFixed(1)
    say(
      `${way}, ${kind}: ${middle('requestsPerSecond')} requests a second, ${middle('cpuMicroseconds')} µs of CPU each, p50 ${middle('p50Milliseconds')} ms, p99 ${middle('p99Milliseconds')} ms`,
    )
  }
}
for (const served of Object.values(servers)) await stop(served)
