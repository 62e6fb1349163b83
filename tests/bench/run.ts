// `npm run bench`: the service beside a bare fastify route with the same body sizes, in one run. The two take turns, each
// on a core of its own beside the load generator's where the machine has `taskset`. CPU time per request comes first: it
// is steady where requests per second swing with whatever else the machine does. It is measured at one rate for both as
// well as flat out: flat out the bare route keeps the load generator so busy that it never sleeps, while the service pays
// with every answer for waking it up.

import { fork, spawnSync, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import autocannon from 'autocannon'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { benchRequests } from './bodies.ts'

const ROUNDS = 8
const SECONDS = 4
const CONNECTIONS = 50
/** Requests per second at which both are measured alike; below what either can do. */
const EVEN_RATE = 1500

interface Run {
  cpuMicroseconds: number
  requestsPerSecond: number
  p99Milliseconds: number
}

const bodies = benchRequests().map((request) => JSON.stringify(request))
const pinned = spawnSync('taskset', ['-cp', '1', String(process.pid)]).status === 0

interface Served {
  child: ChildProcess
  port: number
}

async function start(kind: string): Promise<Served> {
  const child = fork(new URL('./server.js', import.meta.url), [kind])
  if (pinned && child.pid !== undefined) spawnSync('taskset', ['-acp', '0', String(child.pid)])
  const [{ port }] = (await once(child, 'message')) as [{ port: number }]
  return { child, port }
}

async function cpuMicroseconds(child: ChildProcess): Promise<number> {
  child.send('cpu')
  const [{ cpu }] = (await once(child, 'message')) as [{ cpu: NodeJS.CpuUsage }]
  return cpu.user + cpu.system
}

async function load({ child, port }: Served, seconds: number, overallRate?: number): Promise<Run> {
  const before = await cpuMicroseconds(child)
  const result = await autocannon({
    url: `http://127.0.0.1:${port}/v1/sub-exposure`,
    connections: CONNECTIONS,
    duration: seconds,
    ...(overallRate !== undefined && { overallRate }),
    requests: bodies.map((body) => ({
      method: 'POST' as const,
      headers: { 'content-type': 'application/json' },
      body,
    })),
  })
  if (result.non2xx > 0 || result.errors > 0) throw new Error(`${result.non2xx} refusals, ${result.errors} errors`)
  return {
    cpuMicroseconds: ((await cpuMicroseconds(child)) - before) / result.requests.total,
    requestsPerSecond: result.requests.average,
    p99Milliseconds: result.latency.p99,
  }
}

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? NaN
}

function engineMicroseconds(): number {
  const requests = benchRequests()
  const pass = () => {
    for (const request of requests) subExposure.handle(request as never)
  }
  for (let warm = 0; warm < 20; warm++) pass()
  const passes = Array.from({ length: 40 }, () => {
    const start = process.cpuUsage()
    pass()
    const { user, system } = process.cpuUsage(start)
    return (user + system) / requests.length
  })
  return median(passes)
}

const say = (line: string) => process.stdout.write(`${line}\n`)
const answers = benchRequests().map((request) => JSON.stringify(subExposure.handle(request as never)).length)
say(
  `bodies: ${bodies.length}, ${Math.round(median(bodies.map((b) => b.length)))} bytes in, ${median(answers)} bytes out`,
)
say(`answer alone (no HTTP): ${engineMicroseconds().toFixed(1)} µs of CPU`)

const servers = { bare: await start('bare'), ledger: await start('ledger') }
const kinds = ['bare', 'ledger'] as const
type Kind = (typeof kinds)[number]
const flatOut: Record<Kind, Run[]> = { bare: [], ledger: [] }
const even: Record<Kind, Run[]> = { bare: [], ledger: [] }
for (const kind of kinds) await load(servers[kind], 2)
for (let round = 0; round < ROUNDS; round++) {
  for (const kind of kinds) flatOut[kind].push(await load(servers[kind], SECONDS))
  for (const kind of kinds) even[kind].push(await load(servers[kind], SECONDS, EVEN_RATE))
}
for (const { child } of Object.values(servers)) {
  child.send('stop')
  await once(child, 'exit')
}

function row(name: string, runs: Record<Kind, Run[]>, figure: keyof Run, digits: number): void {
  const [bare, ledger] = kinds.map((kind) => median(runs[kind].map((run) => run[figure]))) as [number, number]
  say(`${name}: bare ${bare.toFixed(digits)}, ledger ${ledger.toFixed(digits)}, ratio ${(ledger / bare).toFixed(2)}`)
}
say(`${ROUNDS} interleaved runs of ${SECONDS} s at ${CONNECTIONS} connections, medians${pinned ? ', pinned' : ''}`)
row(`CPU time per request at ${EVEN_RATE} requests a second each, µs`, even, 'cpuMicroseconds', 1)
row('CPU time per request flat out, µs', flatOut, 'cpuMicroseconds', 1)
row('requests per second flat out', flatOut, 'requestsPerSecond', 0)
row('p99 latency flat out, ms', flatOut, 'p99Milliseconds', 1)
