import t from 'tap'
import { ColumnMemory } from '../../../src/engine/index.ts'

void t.test('columns of a block lie one behind the other, and none over another', (t) => {
  const memory = new ColumnMemory(64)
  const columns = [memory.uint8(3), memory.float64(2), memory.float32(3), memory.uint32(1), memory.int32(2)]
  columns.forEach((column, index) => {
    t.same([...column], Array(column.length).fill(0))
    column.fill(index + 1)
  })
  t.same(
    columns.map((column) => [...column]),
    [[1, 1, 1], [2, 2], [3, 3, 3], [4], [5, 5]],
  )
  t.equal(new Set(columns.map(({ buffer }) => buffer)).size, 1, 'all in one block')
  t.equal(memory.usedBytes, 8 + 16 + 16 + 8 + 8, 'each begins on a multiple of eight')
  t.end()
})

void t.test('what a block has no room for gets memory of its own', (t) => {
  const memory = new ColumnMemory(24)
  const first = memory.float64(2)
  const kinds = [memory.float64(2), memory.float32(3), memory.uint32(3), memory.int32(3), memory.uint8(9)]
  for (const column of kinds) {
    t.not(column.buffer, first.buffer)
    t.equal(column.byteOffset, 0)
    t.same([...column], Array(column.length).fill(0))
  }
  t.equal(memory.float64(1).buffer, first.buffer, 'and what it still has room for does not')
  t.not(new ColumnMemory().uint8(1).buffer, new ColumnMemory().uint8(1).buffer, 'without a block, all')
  t.end()
})

void t.test('memory that is taken back is given again, as zeros', (t) => {
  const memory = new ColumnMemory(32)
  const kept = memory.float64(1).fill(7)
  const before = memory.usedBytes
  memory.float64(3).fill(8)
  memory.backTo(before)
  const again = memory.float64(3)
  t.equal(again.buffer, kept.buffer)
  t.same([...again], [0, 0, 0])
  t.same([...kept], [7], 'what was taken before stays')
  t.end()
})

void t.test('memory for a while is taken back, also where the work fails', (t) => {
  const memory = new ColumnMemory(32)
  t.equal(
    memory.within(() => memory.float64(4).length),
    4,
  )
  t.equal(memory.usedBytes, 0)
  const failing = () => {
    memory.float64(4)
    throw new RangeError('no')
  }
  t.throws(() => memory.within(failing), RangeError)
  t.equal(memory.usedBytes, 0)
  t.end()
})
