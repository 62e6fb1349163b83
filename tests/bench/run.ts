// `npm run bench`: the service beside a bare fastify route with the same body sizes, in one run. The two take turns, each
// on a core of its own beside the load generator's where the machine has `taskset`. CPU time per request comes first: it
// is steady where requests per second swing with whatever else the machine does. Requests come one by one at some rates,
// and then as fast as they are answered: flat out the bare route keeps the load generator so busy that it never sleeps,
// while the service pays with every answer for waking it up.

import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { besideBare, KINDS } from './beside-bare.ts'
import { benchRequests } from './bodies.ts'
import { callMicroseconds, median, pin, say, type Run } from './load.ts'

const ROUNDS = 8
const SECONDS = 4
const CONNECTIONS = 50
/** Requests per second at which both are measured alike: a busy service, and one near what it can do. */
const RATES = [300, 1500]

const bodies = benchRequests().map((request) => JSON.stringify(request))
const path = '/v1/sub-exposure'

const answers = benchRequests().map((request) => JSON.stringify(subExposure.handle(request as never)).length)
say(
  `bodies: ${bodies.length}, ${Math.round(median(bodies.map((b) => b.length)))} bytes in, ${median(answers)} bytes out`,
)
const alone = callMicroseconds(benchRequests(), (request) => subExposure.handle(request as never), 40)
say(`answer alone (no HTTP): ${alone.toFixed(1)} µs of CPU`)

const pinned = pin()
const runs = await besideBare({ path, bodies, connections: CONNECTIONS, seconds: SECONDS }, RATES, ROUNDS)

function row(way: string, name: string, figure: keyof Run, digits: number, of = median): void {
  const [bare = NaN, ledger = NaN] = KINDS.map((kind) => of((runs.get(way)?.[kind] ?? []).map((run) => run[figure])))
  say(
    `${name} ${way}: bare ${bare.toFixed(digits)}, ledger ${ledger.toFixed(digits)}, ratio ${(ledger / bare).toFixed(2)}`,
  )
}
/** What others on the machine add to CPU time, they add to some runs only. */
const least = (values: readonly number[]) => Math.min(...values)
say(`${ROUNDS} interleaved runs of ${SECONDS} s at ${CONNECTIONS} connections, medians${pinned ? ', pinned' : ''}`)
for (const way of runs.keys()) row(way, 'CPU time per request, µs,', 'cpuMicroseconds', 1)
for (const way of runs.keys()) row(way, 'least CPU time of all runs, µs,', 'cpuMicroseconds', 1, least)
for (const way of runs.keys()) row(way, 'p99 latency, ms,', 'p99Milliseconds', 1)
row('flat out', 'requests per second', 'requestsPerSecond', 0)
