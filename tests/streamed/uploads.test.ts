// How uploads come in: their own clock, room for so many at once, clients that ask first, wait, or leave.

import { once } from 'node:events'
import { connect, type Socket } from 'node:net'
import { setTimeout as sleep } from 'node:timers/promises'
import type { FastifyInstance } from 'fastify'
import t, { type Test } from 'tap'
import { buildApp, type AppOptions } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { Problem } from '../../src/contract/problem.ts'
import { frames } from '../../src/routes/frames/index.ts'
import { photonTransfer } from '../../src/routes/photon-transfer/index.ts'
import { unsignedFile } from '../frames/support/fits-file.ts'
import { testApp } from '../support/app.ts'
import { FORM_TYPE, formOf } from '../support/multipart.ts'
import { exchange, listen, parseResponse } from '../support/socket.ts'

const FILE = unsignedFile(
  Array.from({ length: 200 * 200 }, (_, at) => 500 + (at % 7)),
  [200, 200],
)
const QUICK = { silenceMilliseconds: 300, bytesPerSecond: 10_000, longestMilliseconds: 60_000, checkMilliseconds: 50 }

async function started(t: Test, uploads: AppOptions['uploads']): Promise<{ app: FastifyInstance; port: number }> {
  const app = await buildApp({ endpoints: [frames], config: readConfig({ LOG_LEVEL: 'silent' }), uploads })
  t.teardown(() => app.close())
  return { app, port: await listen(app) }
}

const head = (...fields: string[]) =>
  ['POST /v1/frames HTTP/1.1', 'Host: a', 'Content-Type: application/fits', ...fields, '', ''].join('\r\n')
const whole = head(`Content-Length: ${FILE.length}`, 'Connection: close')

/** A connection on which an upload has begun. */
async function begun(port: number, bytes = 5000): Promise<Socket> {
  const socket = connect(port, '127.0.0.1').on('error', () => undefined)
  await once(socket, 'connect')
  socket.write(whole)
  socket.write(FILE.subarray(0, bytes))
  return socket
}

async function rest(socket: Socket): Promise<string> {
  let received = ''
  socket.setEncoding('utf8').on('data', (chunk: string) => (received += chunk))
  await once(socket, 'close')
  return received
}

void t.test('an upload that comes along may take longer than the server gives other requests', async (t) => {
  const { app, port } = await started(t, { pace: QUICK })
  app.server.requestTimeout = 200
  const socket = await begun(port)
  for (let from = 5000; from < FILE.length; from += 5000) {
    await sleep(100)
    socket.write(FILE.subarray(from, from + 5000))
  }
  t.equal(parseResponse(await rest(socket)).status, 200)
})

void t.test('an upload that stalls, and one that trickles, is 408, and its place is free again', async (t) => {
  const { port } = await started(t, { pace: QUICK, threads: 1, waitingFrames: 0 })
  const stalled = parseResponse(await rest(await begun(port)))
  t.equal(stalled.status, 408)
  t.match(JSON.parse(stalled.body), { type: '/problems/request-timeout' })
  const trickling = await begun(port, 100)
  const drops = setInterval(() => trickling.write('.'), 40)
  t.equal(parseResponse(await rest(trickling)).status, 408)
  clearInterval(drops)
  t.equal(parseResponse(await exchange(port, whole, FILE)).status, 200)
})

void t.test('nor does one that goes on after its 408 keep the place', async (t) => {
  const { app, port } = await started(t, { pace: QUICK, threads: 1, waitingFrames: 0 })
  app.server.requestTimeout = 100
  const socket = connect({ port, host: '127.0.0.1', allowHalfOpen: true }).on('error', () => undefined)
  socket.write(whole)
  socket.write(FILE.subarray(0, 5000))
  const drops = setInterval(() => socket.write('.'), 40)
  t.teardown(() => {
    clearInterval(drops)
    socket.destroy()
  })
  socket.resume()
  await once(socket, 'end')
  await sleep(1500)
  t.equal(parseResponse(await exchange(port, whole, FILE)).status, 200)
})

void t.test('no room: 503 with Retry-After, whether or not the client asks first; then room again', async (t) => {
  const { port } = await started(t, { threads: 1, waitingFrames: 0 })
  const first = await begun(port)
  await sleep(50)
  const refused = parseResponse(await exchange(port, whole, FILE))
  t.equal(refused.status, 503)
  t.equal(refused.headers['retry-after'], '10')
  t.match(JSON.parse(refused.body), { type: '/problems/overloaded', detail: /no room for another frame: 1 at once/ })
  const asking = head(`Content-Length: ${FILE.length}`, 'Expect: 100-continue')
  const unasked = await exchange(port, asking)
  t.match(unasked, /^HTTP\/1.1 503 /, 'nothing is asked for that cannot be taken')
  t.equal(parseResponse(unasked).headers.connection, 'close')
  first.write(FILE.subarray(5000))
  t.equal(parseResponse(await rest(first)).status, 200)
  const admitted = await exchange(
    port,
    head(`Content-Length: ${FILE.length}`, 'Expect: 100-continue', 'Connection: close'),
    FILE,
  )
  t.match(admitted, /^HTTP\/1.1 100 Continue\r\n\r\nHTTP\/1.1 200 OK/)
})

void t.test('who stalls before the header is there holds no place', async (t) => {
  const { port } = await started(t, { threads: 1, waitingFrames: 0 })
  const stalled = await Promise.all([begun(port, 2000), begun(port, 0)])
  await sleep(50)
  t.equal(parseResponse(await exchange(port, whole, FILE)).status, 200)
  const [late] = stalled
  const first = await begun(port)
  await sleep(50)
  late.write(FILE.subarray(2000))
  t.equal(parseResponse(await rest(late)).status, 503, 'and may find none when it goes on')
  first.write(FILE.subarray(5000))
  t.equal(parseResponse(await rest(first)).status, 200)
  for (const socket of stalled) socket.destroy()
})

void t.test('a client that leaves in the middle leaves its place', async (t) => {
  const { port } = await started(t, { threads: 1, waitingFrames: 0 })
  for (let count = 0; count < 3; count++) {
    const socket = await begun(port)
    await sleep(30)
    socket.resetAndDestroy()
    await sleep(30)
  }
  t.equal(parseResponse(await exchange(port, whole, FILE)).status, 200)
})

void t.test('a form takes a place too: 503 while it is there, and room again when its client leaves', async (t) => {
  const app = await buildApp({
    endpoints: [photonTransfer],
    config: readConfig({ LOG_LEVEL: 'silent' }),
    uploads: { threads: 1, waitingFrames: 0 },
  })
  t.teardown(() => app.close())
  const port = await listen(app)
  const form = formOf([
    ['flat', FILE, 'a.fits'],
    ['flat', FILE, 'b.fits'],
  ])
  const head = ['POST /v1/photon-transfer HTTP/1.1', 'Host: a', `Content-Type: ${FORM_TYPE}`]
  const request = [...head, `Content-Length: ${form.length}`, 'Connection: close', '', ''].join('\r\n')
  const first = connect(port, '127.0.0.1').on('error', () => undefined)
  await once(first, 'connect')
  first.write(request)
  first.write(form.subarray(0, FILE.length + 5000))
  await sleep(100)
  const refused = parseResponse(await exchange(port, request, form))
  t.equal(refused.status, 503)
  t.equal(refused.headers['retry-after'], '10')
  first.resetAndDestroy()
  await sleep(100)
  t.equal(parseResponse(await exchange(port, request, form)).status, 400, 'bias frames are missing')
})

void t.test('who is refused early hears why, and the connection goes on', async (t) => {
  const { port } = await started(t, {})
  const url = `http://127.0.0.1:${port}/v1/frames`
  const send = (body: Buffer, type: string, query = '') =>
    fetch(url + query, { method: 'POST', headers: { 'content-type': type }, body: Uint8Array.from(body) })
  const large = Buffer.alloc(12 << 20, 0x41)
  const cases: [Promise<Response>, number][] = [
    [send(large, 'text/plain'), 415],
    [send(large, 'application/fits'), 400],
    [send(large, 'application/fits', '?offsetAd=3'), 400],
    [send(Buffer.concat([FILE.subarray(0, 2880), large]), 'application/fits'), 400],
  ]
  for (const [pending, status] of cases) t.equal((await pending).status, status)
  const two = head(`Content-Length: ${large.length}`)
  const received = await exchange(port, two, large, whole, FILE)
  t.same(received.match(/HTTP\/1.1 \d+/g), ['HTTP/1.1 400', 'HTTP/1.1 200'])
})

void t.test('what is declared far too long is refused at once', async (t) => {
  const { port } = await started(t, {})
  const received = parseResponse(await exchange(port, head('Content-Length: 9000000000')))
  t.equal(received.status, 413)
  t.equal(received.headers.connection, 'close')
  const asked = await exchange(port, head('Content-Length: 140000000', 'Expect: 100-continue'))
  t.match(asked, /^HTTP\/1.1 413 /)
})

void t.test(
  'what goes on beyond the limit without a declared length is 413 while it is still being sent',
  async (t) => {
    const { port } = await started(t, {})
    const limit = 128 * 2 ** 20
    const socket = connect(port, '127.0.0.1').on('error', () => undefined)
    const answered = rest(socket)
    socket.write(head('Transfer-Encoding: chunked', 'Connection: close'))
    const part = Buffer.concat([Buffer.from('100000\r\n'), Buffer.alloc(2 ** 20), Buffer.from('\r\n')])
    socket.write(`${FILE.length.toString(16)}\r\n`)
    socket.write(FILE)
    socket.write('\r\n')
    for (let sent = 0; sent <= limit && socket.writable; sent += 2 ** 20) {
      if (!socket.write(part)) await once(socket, 'drain', { signal: AbortSignal.timeout(5000) })
    }
    // The body never ends.
    await sleep(200)
    socket.end()
    t.equal(parseResponse(await answered).status, 413)
    t.equal(parseResponse(await exchange(port, whole, FILE)).status, 200)
  },
)

void t.test('a service that closes still answers the frame that is coming in', async (t) => {
  const { app, port } = await started(t, { threads: 1 })
  const socket = await begun(port)
  await sleep(50)
  const closed = app.close()
  await sleep(50)
  socket.write(FILE.subarray(5000))
  t.equal(parseResponse(await rest(socket)).status, 200)
  await closed
})

void t.test('a pool that nobody has used closes with the app', async (t) => {
  const { app } = await testApp(t, { endpoints: [frames] })
  const response = await app.inject({ method: 'GET', url: '/v1/frames' })
  t.equal(response.statusCode, 405)
  t.equal(response.headers.allow, 'POST')
  const index = (await app.inject('/')).json<{ endpoints: unknown[] }>()
  t.match(index.endpoints, [{ path: '/v1/frames', methods: ['POST'] }])
  t.equal(response.json<Problem>().type, '/problems/method-not-allowed')
})
