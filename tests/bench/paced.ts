// Requests that come one by one, evenly spread over the time and over some connections, whether the answers have come or
// not. A load generator that asks as fast as it is answered measures its own queue: with so many connections each answer
// waits for all the others.

import { Agent, request } from 'node:http'
import { setTimeout as pause } from 'node:timers/promises'
import { cpuMicroseconds, type Load, type Run, type Served } from './load.ts'

export interface PacedLoad extends Load {
  /** Requests over all connections. */
  perSecond: number
}

/** Asks a server the bodies in turns; throws when any is refused. */
export async function loadPaced(served: Served, load: PacedLoad): Promise<Run> {
  const { bodies, connections, seconds, perSecond } = load
  const agent = new Agent({ keepAlive: true, maxSockets: connections, scheduling: 'fifo' })
  const ask = (index: number) => millisecondsOf(agent, served.port, load.path, bodies[index % bodies.length] ?? '')
  // Connections are opened beforehand: there are nearly as many of them as one request in a hundred.
  await Promise.all(Array.from({ length: connections }, (_, index) => ask(index)))
  const count = seconds * perSecond
  const before = await cpuMicroseconds(served)
  const asked: Promise<number>[] = []
  const begun = performance.now()
  for (let index = 0; index < count; index++) {
    const early = begun + (index * 1000) / perSecond - performance.now()
    if (early > 0) await pause(early)
    asked.push(ask(index))
  }
  const milliseconds = (await Promise.all(asked)).sort((one, other) => one - other)
  const cpu = (await cpuMicroseconds(served)) - before
  agent.destroy()
  const quantile = (share: number) => milliseconds[Math.floor(share * (count - 1))] ?? NaN
  return {
    cpuMicroseconds: cpu / count,
    requestsPerSecond: perSecond,
    p50Milliseconds: quantile(0.5),
    p99Milliseconds: quantile(0.99),
  }
}

/** From the request to the end of its answer, waiting for a free connection included. */
function millisecondsOf(agent: Agent, port: number, path: string, body: string): Promise<number> {
  return new Promise((resolve, reject) => {
    const begun = performance.now()
    const headers = { 'content-type': 'application/json', 'content-length': Buffer.byteLength(body) }
    request({ agent, host: '127.0.0.1', port, path, method: 'POST', headers }, (response) => {
      if (response.statusCode !== 200) reject(new Error(`refused with ${response.statusCode ?? 'nothing'}`))
      response.resume().once('end', () => {
        resolve(performance.now() - begun)
      })
    })
      .once('error', reject)
      .end(body)
  })
}
