// `npm run bench`: the service beside a bare fastify route with the same body sizes, in one run. The two take turns, each
// on a core of its own beside the load generator's where the machine has `taskset`. CPU time per request comes first: it
// is steady where requests per second swing with whatever else the machine does. It is measured at one rate for both as
// well as flat out: flat out the bare route keeps the load generator so busy that it never sleeps, while the service pays
// with every answer for waking it up.

import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { benchRequests } from './bodies.ts'
import { callMicroseconds, load, median, pinned, say, start, stop, type Run } from './load.ts'

const ROUNDS = 8
const SECONDS = 4
const CONNECTIONS = 50
/** Requests per second at which both are measured alike; below what either can do. */
const EVEN_RATE = 1500

const bodies = benchRequests().map((request) => JSON.stringify(request))
const path = '/v1/sub-exposure'

const answers = benchRequests().map((request) => JSON.stringify(subExposure.handle(request as never)).length)
say(
  `bodies: ${bodies.length}, ${Math.round(median(bodies.map((b) => b.length)))} bytes in, ${median(answers)} bytes out`,
)
const alone = callMicroseconds(benchRequests(), (request) => subExposure.handle(request as never), 40)
say(`answer alone (no HTTP): ${alone.toFixed(1)} µs of CPU`)

const servers = { bare: await start('bare'), ledger: await start('ledger') }
const kinds = ['bare', 'ledger'] as const
type Kind = (typeof kinds)[number]
const flatOut: Record<Kind, Run[]> = { bare: [], ledger: [] }
const even: Record<Kind, Run[]> = { bare: [], ledger: [] }
const usual = { path, bodies, connections: CONNECTIONS, seconds: SECONDS }
for (const kind of kinds) await load(servers[kind], { ...usual, seconds: 2 })
for (let round = 0; round < ROUNDS; round++) {
  for (const kind of kinds) flatOut[kind].push(await load(servers[kind], usual))
  for (const kind of kinds) even[kind].push(await load(servers[kind], { ...usual, overallRate: EVEN_RATE }))
}
for (const served of Object.values(servers)) await stop(served)

function row(name: string, runs: Record<Kind, Run[]>, figure: keyof Run, digits: number): void {
  const [bare, ledger] = kinds.map((kind) => median(runs[kind].map((run) => run[figure]))) as [number, number]
  say(`${name}: bare ${bare.toFixed(digits)}, ledger ${ledger.toFixed(digits)}, ratio ${(ledger / bare).toFixed(2)}`)
}
say(`${ROUNDS} interleaved runs of ${SECONDS} s at ${CONNECTIONS} connections, medians${pinned ? ', pinned' : ''}`)
row(`CPU time per request at ${EVEN_RATE} requests a second each, µs`, even, 'cpuMicroseconds', 1)
row('CPU time per request flat out, µs', flatOut, 'cpuMicroseconds', 1)
row('requests per second flat out', flatOut, 'requestsPerSecond', 0)
row('p99 latency flat out, ms', flatOut, 'p99Milliseconds', 1)
