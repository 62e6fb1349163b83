// What the benchmarks have in common: a server in a process of its own, under load, and what that costs it.

import { fork, spawnSync, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import autocannon from 'autocannon'

let isPinned = false

/**
 * Gives the load generator one core and each server that is started afterwards another, where the machine has `taskset`.
 * Not for what the service does in threads.
 *
 * @returns whether it has
 */
export function pin(): boolean {
  isPinned = spawnSync('taskset', ['-cp', '1', String(process.pid)]).status === 0
  return isPinned
}

export interface Served {
  child: ChildProcess
  port: number
}

export interface Load {
  path: string
  bodies: readonly string[]
  connections: number
  seconds: number
}

export interface Run {
  cpuMicroseconds: number
  requestsPerSecond: number
  p50Milliseconds: number
  p99Milliseconds: number
}

/** Starts `server.ts` as one of its kinds. */
export async function start(kind: string): Promise<Served> {
  const child = fork(new URL('./server.js', import.meta.url), [kind])
  if (isPinned && child.pid !== undefined) spawnSync('taskset', ['-acp', '0', String(child.pid)])
  const [{ port }] = (await once(child, 'message')) as [{ port: number }]
  return { child, port }
}

export async function stop({ child }: Served): Promise<void> {
  child.send('stop')
  await once(child, 'exit')
}

/** CPU time that a server has used so far. */
export async function cpuMicroseconds({ child }: Served): Promise<number> {
  child.send('cpu')
  const [{ cpu }] = (await once(child, 'message')) as [{ cpu: NodeJS.CpuUsage }]
  return cpu.user + cpu.system
}

/** Asks a server the bodies in turns, on each connection as soon as it has answered; throws when any is refused. */
export async function load(served: Served, { path, bodies, connections, seconds }: Load): Promise<Run> {
  const before = await cpuMicroseconds(served)
  const { requests, latency, non2xx, errors } = await autocannon({
    url: `http://127.0.0.1:${served.port}${path}`,
    connections,
    duration: seconds,
    requests: bodies.map((body) => ({
      method: 'POST' as const,
      headers: { 'content-type': 'application/json' },
      body,
    })),
  })
  if (non2xx > 0 || errors > 0) throw new Error(`${non2xx} refusals, ${errors} errors`)
  return {
    cpuMicroseconds: ((await cpuMicroseconds(served)) - before) / requests.total,
    requestsPerSecond: requests.average,
    p50Milliseconds: latency.p50,
    p99Milliseconds: latency.p99,
  }
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? NaN
}

/** CPU time of one call, without HTTP; the middle of many passes over all of the requests. */
export function callMicroseconds<Request>(
  requests: readonly Request[],
  handle: (request: Request) => unknown,
  passes: number,
): number {
  const pass = () => {
    for (const request of requests) handle(request)
  }
  for (let warm = 0; warm < 20; warm++) pass()
  return median(
    Array.from({ length: passes }, () => {
      const begun = process.cpuUsage()
      pass()
      const { user, system } = process.cpuUsage(begun)
      return (user + system) / requests.length
    }),
  )
}

export const say = (line: string) => process.stdout.write(`${line}\n`)
