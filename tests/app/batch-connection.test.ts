// How a batch and its connection get on: slow readers, clients that leave, and what goes on meanwhile.

import { once } from 'node:events'
import { connect } from 'node:net'
import { text } from 'node:stream/consumers'
import { setTimeout as sleep } from 'node:timers/promises'
import t from 'tap'
import { MOST_BATCH_BYTES, MOST_QUESTIONS } from '../../src/contract/batch.ts'
import { unreadWatch } from '../../src/plugins/batch/route.ts'
import {
  answerOf,
  counting,
  GOOD,
  linesOf,
  listening,
  NDJSON,
  open,
  REAL,
  settled,
  toys,
  withThreads,
} from '../support/batch.ts'

void t.test('a client that does not read stops the work, and memory stays small', async (t) => {
  const { list, handled } = counting()
  const { port } = await listening(t, list)
  const asked = open(port).end(`${GOOD}\n`.repeat(MOST_QUESTIONS))
  const response = await answerOf(asked)
  const before = process.memoryUsage()
  const stopped = await settled(handled)
  t.ok(stopped > 0 && stopped < MOST_QUESTIONS, `${stopped} questions answered, then none`)
  const after = process.memoryUsage()
  const grown = after.heapUsed + after.external - before.heapUsed - before.external
  t.ok(grown < 30e6, `${grown} bytes more, where all the answers have 50 million`)
  let body = ''
  response.setEncoding('latin1')
  for await (const chunk of response) body += String(chunk)
  t.equal(linesOf(body).length, MOST_QUESTIONS, 'and all of them come when it reads')
  t.equal(handled(), MOST_QUESTIONS)
})

void t.test('a client that reads slowly gets every answer as it was written', async (t) => {
  const ways = {
    'event loop': { line: GOOD, port: (await listening(t, counting().list)).port },
    threads: { line: REAL, port: (await withThreads(t)).port },
  }
  for (const [name, { line, port }] of Object.entries(ways)) {
    const asked = Array.from({ length: 2000 }, (_, id) => line.replace('{', `{"id":"${id}",`))
    const response = await answerOf(open(port).end(asked.join('\n')))
    response.setEncoding('utf8')
    let body = ''
    let chunks = 0
    for await (const chunk of response) {
      body += String(chunk)
      if (++chunks % 16 === 0) await sleep(2)
    }
    const answers = linesOf(body)
    t.same(
      answers.map(({ line, id }) => [line, id]),
      asked.map((_, index) => [index + 1, String(index)]),
      name,
    )
    t.equal(new Set(answers.map(({ status, answer }) => `${status} ${JSON.stringify(answer)}`)).size, 1, name)
  }
})

void t.test('a client that goes away stops the work', async (t) => {
  const { list, handled } = counting()
  const { port } = await listening(t, list)
  const asked = open(port).end(`${GOOD}\n`.repeat(MOST_QUESTIONS))
  const response = await answerOf(asked)
  await once(response, 'readable')
  asked.destroy()
  const stopped = await settled(handled)
  t.ok(stopped > 0 && stopped < MOST_QUESTIONS, `${stopped} questions answered`)
})

void t.test('answers come while questions are still sent, for longer than a plain request may take', async (t) => {
  const { live, port } = await listening(t, toys)
  live.server.headersTimeout = 300
  live.server.requestTimeout = 300
  const asked = open(port)
  asked.write(`${GOOD}\n`)
  const response = await answerOf(asked)
  const chunks = response.setEncoding('utf8')[Symbol.asyncIterator]() as AsyncIterator<string, undefined>
  t.equal(linesOf((await chunks.next()).value ?? '')[0]?.line, 1)
  // The server looks for late requests every second.
  await sleep(1500)
  asked.write(GOOD)
  asked.end()
  t.equal(linesOf((await chunks.next()).value ?? '')[0]?.line, 2)
  t.ok((await chunks.next()).done)
})

void t.test('a client that goes on sending after the end hears nothing more', async (t) => {
  const { live, port } = await listening(t, toys)
  live.server.headersTimeout = 300
  live.server.requestTimeout = 300
  const socket = connect(port, '127.0.0.1')
  const lines = '{}\n'.repeat(MOST_QUESTIONS + 1)
  socket.write('POST /v1/batch HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n')
  socket.write(`Content-Type: ${NDJSON}\r\n\r\n${lines.length.toString(16)}\r\n${lines}\r\n`)
  const heard = await text(socket)
  t.match(heard, /A batch may have 10000 questions/)
  t.equal(heard.split('HTTP/1.1 ').length - 1, 1, 'one answer')
})

void t.test('everything else is answered meanwhile', async (t) => {
  const { list, handled } = counting(() => {
    const end = performance.now() + 1
    while (performance.now() < end);
  })
  const { live, port } = await listening(t, list)
  const asked = open(port).end(`${GOOD}\n`.repeat(1000))
  const response = await answerOf(asked)
  response.resume()
  for (let times = 0; times < 5; times++) t.equal((await live.inject('/health/live')).statusCode, 200)
  t.ok(handled() < 1000, `${handled()} questions answered by then`)
  await once(response, 'end')
  t.equal(handled(), 1000)
})

void t.test('answers that lie unread end a batch, a long question does not', (t) => {
  const socket = { bytesWritten: 0 }
  const response = { writableLength: 0 }
  let cuts = 0
  const look = unreadWatch(socket, response, () => cuts++)
  look()
  look()
  t.equal(cuts, 0, 'nothing is there to be read')
  socket.bytesWritten = 500
  response.writableLength = 300
  look()
  socket.bytesWritten = 800
  look()
  response.writableLength = 200
  look()
  t.equal(cuts, 0, 'the reader goes on')
  look()
  t.equal(cuts, 1)
  t.end()
})

void t.test('only so many batches at once', async (t) => {
  const { port } = await listening(t, toys)
  const open8 = Array.from({ length: 8 }, () => open(port))
  for (const asked of open8) asked.write(`${GOOD}\n`)
  const responses = await Promise.all(open8.map(answerOf))
  const refused = await answerOf(open(port).end(GOOD))
  t.equal(refused.statusCode, 503)
  t.equal(refused.headers['retry-after'], '5')
  refused.resume()
  for (const [index, asked] of open8.entries()) {
    asked.end()
    responses[index]?.resume()
  }
  await Promise.all(responses.map((response) => once(response, 'end')))
  const again = await answerOf(open(port).end(GOOD))
  t.equal(again.statusCode, 200)
  again.resume()
  await once(again, 'end')
})

void t.test('a body that never ends is cut where it is too long', async (t) => {
  const { port } = await listening(t, toys)
  const asked = open(port)
  asked.on('error', () => undefined)
  const filler = Buffer.alloc(1 << 20, ' ')
  asked.write(`${GOOD}\n`)
  for (let sent = 0; sent <= MOST_BATCH_BYTES; sent += filler.length) asked.write(filler)
  const response = await answerOf(asked)
  let body = ''
  response.setEncoding('utf8')
  for await (const chunk of response) body += String(chunk)
  t.match(linesOf(body), [
    { line: 1, status: 200 },
    { line: 2, status: 413, problem: { detail: 'The line may have 65536 bytes; ask a longer question by itself.' } },
    { line: 3, status: 413, problem: { detail: /^A batch may have 16777216 bytes; / } },
  ])
  asked.destroy()
})
