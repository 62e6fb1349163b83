// `npm run bench:batch`: a batch of 10,000 questions beside the same questions asked one by one over connections that are
// kept, in turns. Questions per second first, since that is what a batch is for; CPU time of the server beside them.

import { once } from 'node:events'
import { request, type IncomingMessage } from 'node:http'
import { availableParallelism } from 'node:os'
import { MOST_QUESTIONS } from '../../src/contract/batch.ts'
import { benchRequests } from './bodies.ts'
import { cpuMicroseconds, load, median, say, start, stop } from './load.ts'

const ROUNDS = 5
const SECONDS = 3
const CONNECTIONS = [1, 4, 20]
const PATH = '/v1/sub-exposure'

interface Run {
  perSecond: number
  cpuMicroseconds: number
}

const requests = benchRequests()
const bodies = requests.map((it) => JSON.stringify(it))
const lines = Array.from({ length: MOST_QUESTIONS }, (_, index) => ({
  path: PATH,
  request: requests[index % requests.length],
}))
const batch = Buffer.from(lines.map((line) => `${JSON.stringify(line)}\n`).join(''))

const served = await start('ledger')

const oneByOne = (connections: number) => async (): Promise<Run> => {
  const run = await load(served, { path: PATH, bodies, connections, seconds: SECONDS })
  return { perSecond: run.requestsPerSecond, cpuMicroseconds: run.cpuMicroseconds }
}

/** Byte by byte would keep the client busier than the server. */
function linesIn(chunk: Buffer): number {
  let lines = 0
  for (let feed = chunk.indexOf('\n'); feed !== -1; feed = chunk.indexOf('\n', feed + 1)) lines++
  return lines
}

async function askTogether(): Promise<void> {
  const headers = { 'content-type': 'application/x-ndjson' }
  const asked = request({ host: '127.0.0.1', port: served.port, path: '/v1/batch', method: 'POST', headers }).end(batch)
  const [response] = (await once(asked, 'response')) as [IncomingMessage]
  let answers = 0
  for await (const chunk of response) answers += linesIn(chunk as Buffer)
  if (answers !== MOST_QUESTIONS) throw new Error(`${answers} answers`)
}

/** One batch after the other, for as long as the calls one by one. */
async function together(): Promise<Run> {
  const before = await cpuMicroseconds(served)
  const begun = performance.now()
  let questions = 0
  let seconds = 0
  for (; seconds < SECONDS; seconds = (performance.now() - begun) / 1000) {
    await askTogether()
    questions += MOST_QUESTIONS
  }
  return {
    perSecond: questions / seconds,
    cpuMicroseconds: ((await cpuMicroseconds(served)) - before) / questions,
  }
}

const ways = new Map<string, () => Promise<Run>>([
  ['batch', together],
  ...CONNECTIONS.map((connections) => [`one by one, ${connections} connections`, oneByOne(connections)] as const),
])
const runs = new Map([...ways.keys()].map((way) => [way, [] as Run[]]))
for (const ask of ways.values()) await ask()
for (let round = 0; round < ROUNDS; round++) {
  for (const [way, ask] of ways) runs.get(way)?.push(await ask())
}
await stop(served)

const of = (way: string, figure: keyof Run) => median((runs.get(way) ?? []).map((run) => run[figure]))
say(
  `${MOST_QUESTIONS} questions, ${batch.length} bytes; ${ROUNDS} rounds in turns, medians; ${availableParallelism()} processors`,
)
for (const way of ways.keys()) {
  const ratio = of('batch', 'perSecond') / of(way, 'perSecond')
  const figures = `${of(way, 'perSecond').toFixed(0)} questions/s, ${of(way, 'cpuMicroseconds').toFixed(0)} µs of CPU each`
  say(`${way}: ${figures}${way === 'batch' ? '' : `; the batch is ${ratio.toFixed(1)} times as fast`}`)
}
