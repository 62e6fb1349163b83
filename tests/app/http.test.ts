import { request } from 'node:http'
import { connect } from 'node:net'
import t from 'tap'
import type { Problem } from '../../src/contract/problem.ts'
import { testApp, toyBody } from '../support/app.ts'
import { exchange, listen, parseResponse } from '../support/socket.ts'

const { app } = await testApp(t)
const port = await listen(app)
const body = JSON.stringify(toyBody)

const ask = async (...parts: (string | Buffer)[]) => parseResponse(await exchange(port, ...parts))
const lines = (...fields: string[]) => `${fields.join('\r\n')}\r\n\r\n`
const json = ['Content-Type: application/json', `Content-Length: ${Buffer.byteLength(body)}`]

void t.test('what is no HTTP is answered with a problem document, then the connection ends', async (t) => {
  for (const bytes of [
    'complete nonsense\r\n\r\n',
    lines('GET / HTTP/9.9', 'Host: a'),
    lines('GET / HTTP/1.1', 'Host: a', 'Content-Length: x'),
    lines('POST /v1/toy HTTP/1.1', 'Host: a', 'Content-Length: 2', 'Transfer-Encoding: chunked') + '0\r\n\r\n',
  ]) {
    const response = await ask(bytes)
    t.equal(response.status, 400, bytes)
    t.equal(response.headers['content-type'], 'application/problem+json; charset=utf-8')
    t.equal(response.headers.connection, 'close')
    t.equal(response.headers['content-length'], String(Buffer.byteLength(response.body)))
    t.match(JSON.parse(response.body), { type: '/problems/unreadable-request', status: 400 })
  }
})

void t.test('Host must be given once, and well', async (t) => {
  const refused: [string[], string][] = [
    [['GET / HTTP/1.1', 'Host: a', 'Host: a'], 'Host is given more than once.'],
    [['GET / HTTP/1.1', 'Host: a', 'hOST: b'], 'Host is given more than once.'],
    [['GET / HTTP/1.1'], 'Host is missing.'],
    [['GET / HTTP/1.1', 'Host: a b'], 'Host is malformed.'],
    [['GET / HTTP/1.1', 'Host: user@a'], 'Host is malformed.'],
    [['GET / HTTP/1.1', 'Host: a/b'], 'Host is malformed.'],
    [['GET / HTTP/1.1', 'Host: a:80:80'], 'Host is malformed.'],
  ]
  for (const [fields, detail] of refused) {
    const response = await ask(lines(...fields))
    t.equal(response.status, 400, fields.join(' | '))
    t.equal(response.headers.connection, 'close')
    t.equal((JSON.parse(response.body) as Problem).detail, detail)
  }
  for (const host of ['a', 'club.example:8080', '192.0.2.1', '[2001:db8::1]:80', '']) {
    const response = await ask(lines('GET /health/live HTTP/1.1', `Host: ${host}`, 'Connection: close'))
    t.equal(response.status, 200, host)
  }
  t.equal((await ask(lines('GET /health/live HTTP/1.0'))).status, 200, 'HTTP/1.0 has no Host')
})

void t.test('Transfer-Encoding may only be chunked, and not in HTTP/1.0', async (t) => {
  const chunked = `${Buffer.byteLength(body).toString(16)}\r\n${body}\r\n0\r\n\r\n`
  const type = 'Content-Type: application/json'
  const good = lines('POST /v1/toy HTTP/1.1', 'Host: a', type, 'Transfer-Encoding: chunked', 'Connection: close')
  t.equal((await ask(good + chunked)).status, 200)
  const refused: [string[], string][] = [
    [['POST /v1/toy HTTP/1.0', type, 'Transfer-Encoding: chunked'], 'Transfer-Encoding does not exist in HTTP/1.0.'],
    [
      ['POST /v1/toy HTTP/1.1', 'Host: a', type, 'Transfer-Encoding: gzip, chunked'],
      'Transfer-Encoding may only be chunked.',
    ],
  ]
  for (const [fields, detail] of refused) {
    const response = await ask(lines(...fields) + chunked)
    t.equal(response.status, 400)
    t.equal(response.headers.connection, 'close')
    t.equal((JSON.parse(response.body) as Problem).detail, detail)
  }
})

void t.test('a client that asks before it sends is told at once when it would be too much', async (t) => {
  const head = ['POST /v1/toy HTTP/1.1', 'Host: a', 'Content-Type: application/json', 'Expect: 100-continue']
  const refused = await exchange(port, lines(...head, 'Content-Length: 1000000000'))
  t.notMatch(refused, '100 Continue')
  t.equal(parseResponse(refused).status, 413)
  t.equal(parseResponse(refused).headers.connection, 'close')
  const admitted = await exchange(port, lines(...head, `Content-Length: ${body.length}`, 'Connection: close'), body)
  t.match(admitted, /^HTTP\/1.1 100 Continue\r\n\r\nHTTP\/1.1 200 OK\r\n/)
})

void t.test('a body that is too large is refused before it has all come, whatever it says of itself', async (t) => {
  const fields = ['POST /v1/toy HTTP/1.1', 'Host: a', 'Content-Type: application/json']
  const declared = await ask(lines(...fields, 'Content-Length: 1000000'))
  t.equal(declared.status, 413)
  t.match(JSON.parse(declared.body), { type: '/problems/body-too-large', detail: 'The body may have 65536 bytes.' })
  const chunk = `8000\r\n${' '.repeat(32768)}\r\n`
  const streamed = await ask(lines(...fields, 'Transfer-Encoding: chunked'), chunk, chunk, chunk)
  t.equal(streamed.status, 413)
})

void t.test('a link that is too long is 414, header fields that are too many 431', async (t) => {
  const link = await ask(lines(`GET /v1/toy?request=${'x'.repeat(17000)} HTTP/1.1`, 'Host: a'))
  t.equal(link.status, 414)
  t.match(JSON.parse(link.body), { type: '/problems/link-too-long' })
  const header = await ask(lines('GET / HTTP/1.1', 'Host: a', `X-Long: ${'x'.repeat(17000)}`))
  t.equal(header.status, 431)
  t.match(JSON.parse(header.body), { type: '/problems/headers-too-large' })
  const fits = { ...toyBody, subLadderSeconds: Array<number>(200).fill(123456.123456) }
  const url = `/v1/toy?request=${encodeURIComponent(JSON.stringify(fits)).padEnd(15000, ' ').replaceAll(' ', '%20').slice(0, 15000)}`
  t.equal((await ask(lines(`GET ${url} HTTP/1.1`, 'Host: a', 'Connection: close'))).status, 200, '15,000 bytes fit')
})

void t.test('a client that breaks off in the middle does no harm', async (t) => {
  await new Promise<void>((resolve) => {
    const socket = connect(port, '127.0.0.1', () => {
      socket.write(lines('POST /v1/toy HTTP/1.1', 'Host: a', ...json) + body.slice(0, 10), () => {
        socket.resetAndDestroy()
      })
    })
    socket.on('close', () => {
      resolve()
    })
  })
  t.equal((await ask(lines('GET /health/live HTTP/1.1', 'Host: a', 'Connection: close'))).status, 200)
})

void t.test('a request that comes too slowly is 408', { timeout: 60_000 }, async (t) => {
  t.equal(app.server.headersTimeout, 5000)
  t.equal(app.server.requestTimeout, 10_000)
  t.equal(app.server.keepAliveTimeout, 5000)
  app.server.headersTimeout = 200
  app.server.requestTimeout = 400
  const head = await ask('GET / HTTP/1.1\r\nHost: a\r\n')
  t.equal(head.status, 408)
  t.match(JSON.parse(head.body), { type: '/problems/request-timeout' })
  const slow = await ask(lines('POST /v1/toy HTTP/1.1', 'Host: a', ...json) + body.slice(0, 10))
  t.equal(slow.status, 408)
})

void t.test('one connection carries many requests', async (t) => {
  const two = lines('GET /health/live HTTP/1.1', 'Host: a') + lines('GET / HTTP/1.1', 'Host: a', 'Connection: close')
  const received = await exchange(port, two)
  t.equal(received.match(/HTTP\/1.1 200 OK/g)?.length, 2)
})

void t.test('a HEAD over the wire has the length and no body', async (t) => {
  const path = `/v1/toy?request=${encodeURIComponent(body)}`
  const length = await new Promise<string | undefined>((resolve, reject) => {
    request({ port, host: '127.0.0.1', path, method: 'HEAD' }, (response) => {
      response.resume()
      response.on('end', () => {
        resolve(response.headers['content-length'])
      })
    })
      .on('error', reject)
      .end()
  })
  t.equal(length, '72')
})
