// How the body of a question about a long list comes in: slowly, not at all, broken off, or too long.

import type { Server } from 'node:http'
import { connect } from 'node:net'
import { setTimeout as sleep } from 'node:timers/promises'
import { fastify, type FastifyHttpOptions } from 'fastify'
import t from 'tap'
import { addListPost } from '../../src/streamed/list-question.ts'
import { answerBrokenHttp } from '../../src/plugins/broken-http.ts'
import { buildContractCheck } from '../../src/plugins/contract-check.ts'
import { problems } from '../../src/plugins/problems.ts'
import type { Question } from '../../src/routes/endpoint.ts'
import { sessionAccount } from '../../src/routes/session-account/index.ts'
import { exchange, listen, parseResponse } from '../support/socket.ts'

const { list } = sessionAccount as unknown as Question<Record<string, unknown>>
if (list === undefined) throw new Error('the account takes a list')

const LIMIT = 100_000
const failures: unknown[] = []
const options: FastifyHttpOptions<Server> = {
  // Far shorter than the bodies here take.
  requestTimeout: 300,
  http: { connectionsCheckingInterval: 50, headersTimeout: 200 },
  clientErrorHandler: answerBrokenHttp,
}
const app = fastify(options)
t.teardown(() => app.close())
await app.register(problems)
app.setSerializerCompiler(() => JSON.stringify)
app.addHook('onError', (_request, _reply, error, done) => {
  failures.push(error)
  done()
})
addListPost(app, {
  question: sessionAccount as Question,
  list: list,
  bodyLimit: LIMIT,
  about: {},
  check: buildContractCheck(),
  mostBytesAtOnce: 150_000,
  pace: { silenceMilliseconds: 400, bytesPerSecond: 10, longestMilliseconds: 5_000, checkMilliseconds: 50 },
})
const port = await listen(app)

const SETUP = {
  camera: { readNoiseElectrons: 2 },
  sky: { electronsPerPixelSecond: 1 },
  target: { electronsPerPixelSecond: 1 },
}
const link = `/v1/session-account?request=${encodeURIComponent(JSON.stringify(SETUP))}`
const head = (length: number, ...more: string[]) =>
  [`POST ${link} HTTP/1.1`, 'Host: a', 'Content-Type: text/csv', `Content-Length: ${length}`, ...more].join('\r\n') +
  '\r\n\r\n'
const CSV = 'startedAt,subSeconds\n2026-11-21T19:40:00Z,120\n2026-11-21T19:43:00Z,120\n'

/** Sends pieces with a pause before each, and returns what comes back until the server closes. */
async function slowly(pieces: readonly string[], pauseMilliseconds: number): Promise<string> {
  const socket = connect(port, '127.0.0.1')
  let received = ''
  socket.on('data', (chunk) => (received += String(chunk)))
  const closed = new Promise((resolve) => socket.on('close', resolve))
  for (const piece of pieces) {
    await sleep(pauseMilliseconds)
    socket.write(piece)
  }
  await closed
  return received
}

void t.test('a body that comes slowly but steadily outlives the time for a request', async (t) => {
  const pieces = CSV.match(/[^]{1,8}/g) ?? []
  t.ok(pieces.length > 8, 'so they take three times the time for a request')
  const response = parseResponse(await slowly([head(CSV.length, 'Connection: close'), ...pieces], 100))
  t.equal(response.status, 200)
  t.match(JSON.parse(response.body), { log: { usedCount: 2 } })
})

void t.test('a body that stops coming is 408', async (t) => {
  const response = parseResponse(await slowly([head(CSV.length), CSV.slice(0, 20)], 10))
  t.equal(response.status, 408)
})

void t.test('a body that breaks off is no fault of the service', async (t) => {
  failures.length = 0
  const socket = connect(port, '127.0.0.1')
  socket.write(head(CSV.length) + CSV.slice(0, 20))
  await sleep(50)
  socket.resetAndDestroy()
  for (let tries = 0; failures.length === 0 && tries < 100; tries++) await sleep(10)
  t.match(failures, [{ kind: 'unreadable-request', message: 'The body broke off.' }])
})

void t.test('a body declared too long is refused before it comes, one in chunks while it does', async (t) => {
  const declared = parseResponse(await exchange(port, head(LIMIT + 1)))
  t.equal(declared.status, 413)
  const chunk = `${(10_000).toString(16)}\r\n${' '.repeat(9_999)}\n\r\n`
  const chunked = head(0, 'Transfer-Encoding: chunked', 'Connection: close').replace('Content-Length: 0\r\n', '')
  const streamed = parseResponse(await exchange(port, chunked + chunk.repeat(12) + '0\r\n\r\n'))
  t.equal(streamed.status, 413)
  t.match(JSON.parse(streamed.body), { detail: `The body may have ${LIMIT} bytes.` })
})

void t.test('the connection goes on after a refusal', async (t) => {
  const bad = 'wind\n1\n'
  const both = await exchange(port, head(bad.length) + bad + head(CSV.length, 'Connection: close') + CSV)
  t.match(both, /^HTTP\/1.1 400 [^]*unknown column `wind`[^]*HTTP\/1.1 200 /)
})

void t.test('bodies that are too much together are told to come again, and room is given back', async (t) => {
  const most = CSV.padEnd(90_000, '\n')
  const waiting = connect(port, '127.0.0.1')
  waiting.write(head(most.length, 'Connection: close') + most.slice(0, 80_000))
  await sleep(50)
  const refused = parseResponse(await exchange(port, head(most.length, 'Connection: close') + most))
  t.equal(refused.status, 503)
  t.equal(refused.headers['retry-after'], '5')
  let received = ''
  waiting.on('data', (chunk) => (received += String(chunk)))
  waiting.write(most.slice(80_000))
  await new Promise((resolve) => waiting.on('close', resolve))
  t.equal(parseResponse(received).status, 200, 'who was there first is answered')
  t.equal(parseResponse(await exchange(port, head(most.length, 'Connection: close') + most)).status, 200)
})
