// `npm run bench:check`: the check of a session with 500 subs of history at 20 connections, every body another, beside a
// bare fastify route with the same body sizes. The servers run in processes of their own, each on a core of its own beside
// the load generator where the machine has `taskset`.

import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { besideBare, KINDS } from './beside-bare.ts'
import { checkRequests, SUBS } from './check-bodies.ts'
import { callMicroseconds, median, pin, say, type Run } from './load.ts'

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
const usual = { path: '/v1/session-check', bodies, connections: CONNECTIONS, seconds: SECONDS }
for (const [way, runs] of await besideBare(usual, RATES, ROUNDS)) {
  for (const kind of KINDS) {
    const middle = (figure: keyof Run) => median(runs[kind].map((run) => run[figure])).toFixed(1)
    say(
      `${way}, ${kind}: ${middle('requestsPerSecond')} requests a second, ${middle('cpuMicroseconds')} µs of CPU each, p50 ${middle('p50Milliseconds')} ms, p99 ${middle('p99Milliseconds')} ms`,
    )
  }
}
