// What the tests of batches ask, and by which connections.

import { once } from 'node:events'
import { request as httpRequest, type ClientRequest, type IncomingMessage } from 'node:http'
import { setTimeout as sleep } from 'node:timers/promises'
import type { Test } from 'tap'
import type { Problem } from '../../src/contract/problem.ts'
import { batch } from '../../src/routes/batch/index.ts'
import { question, type Endpoint, type Question } from '../../src/routes/endpoint.ts'
import { endpoints } from '../../src/routes/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { testApp, toyBody, toyEndpoints, type ToyRequest } from './app.ts'
import { listen } from './socket.ts'

export const NDJSON = 'application/x-ndjson'
export const toys: Endpoint[] = [...toyEndpoints, batch]
export const toyLine = (request: unknown, more: object = {}) => JSON.stringify({ path: '/v1/toy', request, ...more })
export const GOOD = toyLine(toyBody)

const [example] = Object.values(subExposure.examples)
export const REAL = JSON.stringify({ path: subExposure.path, request: example?.request })

export interface Line {
  line: number
  id?: string
  status: number
  answer?: unknown
  problem?: Problem
}

export const linesOf = (body: string): Line[] =>
  body
    .split('\n')
    .slice(0, -1)
    .map((line) => JSON.parse(line) as Line)

/** A question that counts how often it is answered, with long answers. */
export function counting(work: () => void = () => undefined): { list: Endpoint[]; handled: () => number } {
  let count = 0
  const [toy] = toyEndpoints as readonly Question<ToyRequest, { explanation: string[] }>[]
  if (toy === undefined) throw new Error('no toy')
  const filling = ['x'.repeat(5000)]
  const counted = question({
    ...toy,
    handle: (request: ToyRequest) => {
      count++
      work()
      return { ...toy.handle(request), explanation: filling }
    },
  })
  return { list: [counted, batch], handled: () => count }
}

export const open = (port: number, headers: Record<string, string | number> = {}): ClientRequest =>
  httpRequest({
    port,
    host: '127.0.0.1',
    path: '/v1/batch',
    method: 'POST',
    agent: false,
    headers: { 'content-type': NDJSON, ...headers },
  })

export const answerOf = async (asked: ClientRequest) => ((await once(asked, 'response')) as [IncomingMessage])[0]

/** Waits until a count no longer grows. */
export async function settled(count: () => number): Promise<number> {
  let before = -1
  while (before !== count()) {
    before = count()
    await sleep(300)
  }
  return before
}

export async function listening(t: Test, list: Endpoint[]) {
  const { app: live } = await testApp(t, { endpoints: list })
  return { live, port: await listen(live) }
}

/** A service whose threads have started and practised. */
export async function withThreads(t: Test): Promise<{ port: number }> {
  const environment = { RATE_LIMIT_PER_MINUTE: '1000000' }
  const { app } = await testApp(t, { endpoints, environment, batchThreads: 2 })
  const payload = Array<string>(2000).fill(REAL).join('\n')
  for (let batches = 0; !/^batch_threads 2$/m.test((await app.inject('/metrics')).body); batches++) {
    if (batches === 200) throw new Error('no threads')
    await app.inject({ method: 'POST', url: '/v1/batch', headers: { 'content-type': NDJSON }, payload })
  }
  return { port: await listen(app) }
}
