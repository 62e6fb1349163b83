// `npm run bench:check`: the check of a session with 500 subs of history at 20 connections, every body another. The server
// runs in a process of its own, each on a core of its own beside the load generator where the machine has `taskset`.

import { fork, spawnSync, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import autocannon from 'autocannon'
import { sessionCheckExamples } from '../../src/contract/session-check-examples.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { seededRandom } from '../support/random.ts'

const SUBS = 500
const BODIES = 60
const CONNECTIONS = 20
const SECONDS = 5
const ROUNDS = 5
/** Requests a second: 20 cameras that ask every 2 s, a busy service, and flat out. */
const RATES = [10, 200, undefined] as const

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
const pinned = spawnSync('taskset', ['-cp', '1', String(process.pid)]).status === 0

async function cpuMicroseconds(child: ChildProcess): Promise<number> {
  child.send('cpu')
  const [{ cpu }] = (await once(child, 'message')) as [{ cpu: NodeJS.CpuUsage }]
  return cpu.user + cpu.system
}

async function load(child: ChildProcess, port: number, overallRate: number | undefined) {
  const before = await cpuMicroseconds(child)
  const result = await autocannon({
    url: `http://127.0.0.1:${port}/v1/session-check`,
    connections: CONNECTIONS,
    duration: SECONDS,
    ...(overallRate !== undefined && { overallRate }),
    requests: bodies.map((body) => ({
      method: 'POST' as const,
      headers: { 'content-type': 'application/json' },
      body,
    })),
  })
  if (result.non2xx > 0 || result.errors > 0) throw new Error(`${result.non2xx} refusals, ${result.errors} errors`)
  return {
    cpu: ((await cpuMicroseconds(child)) - before) / result.requests.total,
    perSecond: result.requests.average,
    p50: result.latency.p50,
    p99: result.latency.p99,
  }
}

function handlerMicroseconds(): number {
  const pass = () => {
    for (const request of requests) sessionCheck.handle(request)
  }
  for (let warm = 0; warm < 20; warm++) pass()
  const passes = Array.from({ length: 20 }, () => {
    const start = process.cpuUsage()
    pass()
    const { user, system } = process.cpuUsage(start)
    return (user + system) / requests.length
  })
  return median(passes)
}

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? NaN
}

const say = (line: string) => process.stdout.write(`${line}\n`)
say(`${BODIES} bodies of ${SUBS} subs, ${Math.round(median(bodies.map(({ length }) => length)))} bytes each`)
say(`answer alone (no HTTP): ${handlerMicroseconds().toFixed(0)} µs of CPU`)
const child = fork(new URL('./server.js', import.meta.url), ['ledger'])
if (pinned && child.pid !== undefined) spawnSync('taskset', ['-acp', '0', String(child.pid)])
const [{ port }] = (await once(child, 'message')) as [{ port: number }]
await load(child, port, undefined)
for (const rate of RATES) {
  const runs: Awaited<ReturnType<typeof load>>[] = []
  for (let round = 0; round < ROUNDS; round++) runs.push(await load(child, port, rate))
  const middle = (figure: keyof (typeof runs)[number]) => median(runs.map((run) => run[figure])).toFixed(1)
  say(
    `${rate === undefined ? 'flat out' : `${rate} a second`}: ${middle('perSecond')} requests a second, ${middle('cpu')} µs of CPU each, p50 ${middle('p50')} ms, p99 ${middle('p99')} ms`,
  )
}
child.send('stop')
await once(child, 'exit')
