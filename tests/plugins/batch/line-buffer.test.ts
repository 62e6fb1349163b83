import fc from 'fast-check'
import t from 'tap'
import { MOST_BATCH_BYTES, MOST_LINE_BYTES, MOST_QUESTIONS } from '../../../src/contract/batch.ts'
import { LineBuffer } from '../../../src/plugins/batch/line-buffer.ts'
import { linesOf } from '../../../src/plugins/batch/slab.ts'

const seed = Number(process.env.FUZZ_SEED ?? 20261125)

/** What a buffer makes of chunks: `number:text` for a question, `number!` for a refusal. */
function cutAll(chunks: readonly Uint8Array[]): string[] {
  const buffer = new LineBuffer()
  const found: string[] = []
  const take = () => {
    for (let cut = buffer.cut(); cut !== undefined; cut = buffer.cut()) {
      if (cut.kind === 'refusal') found.push(`${cut.line}!`)
      else for (const { line, bytes } of linesOf(cut.slab)) found.push(`${line}:${String(Buffer.from(bytes))}`)
    }
  }
  for (const chunk of chunks) {
    buffer.push(chunk)
    take()
  }
  buffer.end()
  take()
  return found
}

/** The same from the whole text at once. */
const expected = (text: string) =>
  text.split('\n').flatMap((line, index) => {
    if (line.length > MOST_LINE_BYTES) return [`${index + 1}!`]
    return /^[ \t\r]*$/.test(line) ? [] : [`${index + 1}:${line}`]
  })

void t.test(`lines are the same however they arrive (seed ${seed})`, (t) => {
  const line = fc.oneof(
    { weight: 5, arbitrary: fc.stringMatching(/^[a-z {}"\r\t]{0,60}$/) },
    { weight: 1, arbitrary: fc.integer({ min: -3, max: 70_000 }).map((more) => 'x'.repeat(MOST_LINE_BYTES + more)) },
    { weight: 1, arbitrary: fc.integer({ min: 0, max: 40_000 }).map((length) => 'y'.repeat(length)) },
  )
  const body = fc.array(line, { maxLength: 90 }).map((lines) => lines.join('\n'))
  const sizes = fc.array(fc.oneof(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 150_000 })), {
    minLength: 1,
  })
  const property = fc.property(body, sizes, (text, steps) => {
    const bytes = Buffer.from(text)
    const chunks: Buffer[] = []
    for (let at = 0, turn = 0; at < bytes.length; turn++) {
      const end = at + (steps[turn % steps.length] ?? 1) + (turn > 2000 ? 65_536 : 0)
      chunks.push(bytes.subarray(at, end))
      at = end
    }
    const found = cutAll(chunks)
    const wanted = expected(text)
    return found.length === wanted.length && found.every((it, index) => it === wanted[index])
  })
  fc.assert(property, { numRuns: 150, seed })
  t.pass()
  t.end()
})

void t.test('a slab stays within its size, and knows what stands before it', (t) => {
  const buffer = new LineBuffer()
  buffer.push(Buffer.from(`\n${'{}\n'.repeat(300)}`))
  const slabs = []
  for (let cut = buffer.cut(); cut?.kind === 'slab'; cut = buffer.cut()) slabs.push(cut.slab)
  t.same(
    slabs.map(({ firstLine, questions, questionsBefore }) => [firstLine, questions, questionsBefore]),
    [
      [1, 128, 0],
      [130, 128, 128],
      [258, 44, 256],
    ],
  )
  buffer.push(Buffer.from(`${' '.repeat(40_000)}7\n`.repeat(4)))
  const large = buffer.cut()
  t.match(large, { kind: 'slab', slab: { questions: 2, questionsBefore: 300 } })
  t.end()
})

void t.test('what is beyond a limit is refused once, and nothing follows', (t) => {
  const questions = cutAll([Buffer.from('7\n\n'.repeat(MOST_QUESTIONS)), Buffer.from('8\n9\n'), Buffer.from('9\n')])
  t.equal(questions.length, MOST_QUESTIONS + 1)
  t.equal(questions.at(-1), `${2 * MOST_QUESTIONS + 1}!`)
  t.equal(cutAll([Buffer.from('7\n'.repeat(MOST_QUESTIONS))]).length, MOST_QUESTIONS, 'exactly as many are answered')

  const line = `${'z'.repeat(1023)}\n`
  const full = Buffer.from(line.repeat(MOST_BATCH_BYTES / 1024).replace(/z/g, ' '))
  t.same(cutAll([full]), [], 'exactly so many bytes are read')
  t.same(cutAll([full, Buffer.from('7')]), [`${MOST_BATCH_BYTES / 1024 + 1}!`])
  t.same(cutAll([Buffer.from('7\n'), full, Buffer.from('8\n')]), ['1:7', `${MOST_BATCH_BYTES / 1024 + 1}!`])
  t.end()
})

void t.test('what comes beyond the limit before anything is cut is dropped', (t) => {
  const buffer = new LineBuffer()
  buffer.push(Buffer.from('7\n'))
  buffer.push(Buffer.alloc(MOST_BATCH_BYTES, ' '))
  for (let times = 0; times < 3; times++) buffer.push(Buffer.from('\n8\n9\n'))
  buffer.end()
  t.match(buffer.cut(), { kind: 'slab', slab: { questions: 1 } })
  t.match(buffer.cut(), { kind: 'refusal', line: 2, isLast: true }, 'neither 8 nor 9 is a question')
  t.equal(buffer.cut(), undefined)
  t.end()
})

void t.test('a line that comes byte by byte costs little memory', (t) => {
  const buffer = new LineBuffer()
  const before = process.memoryUsage()
  const refusals: number[] = []
  for (let count = 1; count <= 2 ** 20; count++) {
    buffer.push(Uint8Array.of(0x20))
    const cut = buffer.cut()
    if (cut?.kind === 'refusal') refusals.push(count)
  }
  t.same(refusals, [MOST_LINE_BYTES + 1], 'refused as soon as it is too long, and once')
  const { heapUsed, external } = process.memoryUsage()
  t.ok(heapUsed + external - before.heapUsed - before.external < 30e6)
  buffer.push(Buffer.from('\n7\n'))
  t.match(buffer.cut(), { kind: 'slab', slab: { firstLine: 2, questions: 1 } })
  t.end()
})
