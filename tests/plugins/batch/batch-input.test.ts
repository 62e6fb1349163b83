import { PassThrough } from 'node:stream'
import t from 'tap'
import { answerBatch } from '../../../src/plugins/batch/answer-batch.ts'
import { AnswerBlocks } from '../../../src/plugins/batch/answer-blocks.ts'
import type { Answerer } from '../../../src/plugins/batch/answerers.ts'
import { BatchInput } from '../../../src/plugins/batch/batch-input.ts'
import { linesOf, type Slab } from '../../../src/plugins/batch/slab.ts'

/** Answers each line by itself, after a while; the first ones take longest. */
const echo = (threads: number, during: (underWay: number) => void = () => undefined): Answerer => {
  let underWay = 0
  return {
    threads,
    answer: async (slab: Slab) => {
      during(++underWay)
      await new Promise((resolve) => setTimeout(resolve, Math.max(0, 20 - slab.firstLine / 64)))
      underWay--
      const lines = [...linesOf(slab)].map(({ line, bytes }) => `${line}:${String(Buffer.from(bytes))}\n`)
      return { bytes: Buffer.from(lines.join('')), faults: [] }
    },
    close: () => Promise.resolve(),
  }
}

async function collect(input: BatchInput, answerer: Answerer, stop = new AbortController()): Promise<string> {
  const blocks = new AnswerBlocks([], () => 0)
  const terms = { answerer, blocks, charge: () => undefined, report: () => undefined, stopped: stop.signal }
  let text = ''
  for await (const bytes of answerBatch(input, terms)) text += String(Buffer.from(bytes))
  return text
}

void t.test('slabs answered at once come out in order', async (t) => {
  const body = new PassThrough()
  const most: number[] = []
  const answered = collect(
    new BatchInput(body),
    echo(2, (underWay) => most.push(underWay)),
  )
  const lines = Array.from({ length: 2000 }, (_, index) => `${index + 1}`)
  body.end(lines.join('\n'))
  t.equal(await answered, lines.map((line) => `${line}:${line}\n`).join(''))
  t.equal(Math.max(...most), 3, 'no more at once than there should be')
})

void t.test('who stops sending is told so in a last line', async (t) => {
  const body = new PassThrough()
  const answered = collect(new BatchInput(body, 50), echo(0))
  body.write('1\n2\n{"path"')
  const lines = (await answered).trimEnd().split('\n')
  t.same(lines.slice(0, 2), ['1:1', '2:2'])
  t.match(JSON.parse(lines[2] ?? ''), {
    line: 3,
    status: 408,
    problem: { detail: 'Nothing came for 0.05 seconds; what would follow is not answered.' },
  })
  t.equal(lines.length, 3)
})

void t.test('a batch that is stopped waits for nothing more', async (t) => {
  const body = new PassThrough()
  const stop = new AbortController()
  const input = new BatchInput(body, 60_000)
  const answered = collect(input, echo(0), stop)
  body.write('1\n')
  await new Promise((resolve) => setTimeout(resolve, 50))
  stop.abort()
  input.stop()
  t.equal(await answered, '1:1\n')
})
