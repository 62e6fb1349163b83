import t from 'tap'
import { AnswerBlocks } from '../../../src/plugins/batch/answer-blocks.ts'

const written = (block: ArrayBuffer, bytes: number) => new Uint8Array(block, 0, bytes)

void t.test('a block is written again when all of it was sent, and not before', (t) => {
  let unsent = 0
  const blocks = new AnswerBlocks([], () => unsent)
  const first = blocks.take()
  const second = blocks.take()
  t.not(second, first)
  blocks.handedOn(written(first, 100))
  blocks.handedOn(written(second, 50))
  unsent = 150
  t.notOk([first, second].includes(blocks.take()), 'nothing was sent')
  unsent = 51
  t.notOk([first, second].includes(blocks.take()), 'one byte of the first may lie there still')
  unsent = 50
  t.equal(blocks.take(), first)
  t.notOk([first, second].includes(blocks.take()), 'that one is lent again')
  blocks.handedOn(written(first, 10))
  unsent = 0
  t.same(new Set([blocks.take(), blocks.take()]), new Set([first, second]))
  t.end()
})

void t.test('what a batch leaves serves the next one', (t) => {
  const free: ArrayBuffer[] = []
  const before = new AnswerBlocks(free, () => 1000)
  const block = before.take()
  before.handedOn(written(block, 10))
  t.not(before.take(), block)
  before.sent()
  t.equal(new AnswerBlocks(free, () => 0).take(), block)
  t.end()
})

void t.test('only blocks are kept, and only so many', (t) => {
  const free: ArrayBuffer[] = []
  const blocks = new AnswerBlocks(free, () => 0)
  blocks.handedOn(new Uint8Array(10))
  blocks.sent()
  t.equal(free.length, 0, 'memory of another size')
  const many = Array.from({ length: 20 }, () => blocks.take())
  for (const block of many) blocks.handedOn(written(block, 1))
  blocks.sent()
  t.equal(free.length, 8)
  t.end()
})
