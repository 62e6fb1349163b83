import t from 'tap'
import { z } from 'zod'
import { NumberedWords } from '../../../src/setup/numbered-words.ts'
import { QuickItems } from '../../../src/setup/rows/quick-items.ts'
import { CODES } from '../../../src/setup/rows/quick-values.ts'
import { rowFields } from '../../../src/setup/rows/row-fields.ts'

const NAMES = ['at', 'size', 'name', 'kept']
const fields = rowFields(
  {
    at: z.iso.datetime(),
    size: z.number().min(-10).max(1e6).optional(),
    name: z.string().optional(),
    kept: z.boolean().optional(),
  },
  (name) => NAMES.indexOf(name),
)

function read(text: string) {
  const words = new NumberedWords()
  const items = new QuickItems(fields, NAMES.length, {
    secondsOf: (time) => Date.parse(time) / 1000,
    numberOf: (_, word) => words.indexOf(word),
  })
  const row = new Float64Array(NAMES.length + 1)
  items.begin(text, 0)
  return items.take(row, 1) ? { row: [...row.subarray(1)], at: items.at, next: items.pass(CODES.comma) } : null
}

void t.test('an object becomes a row of numbers', (t) => {
  const text = '{"size":-2.50,"at":"1970-01-02T00:00:01.500Z","kept":true}'
  t.same(read(`${text} ,`), { row: [86401.5, -2.5, NaN, 1], at: text.length, next: true })
  t.same(read('{"name":"Ha"}'), { row: [NaN, NaN, 0, NaN], at: 13, next: false })
  t.same(read(' { "kept" : false }'), null, 'space before a colon is unusual')
  t.same(read(' { "kept": false }')?.row, [NaN, NaN, NaN, 0])
  t.end()
})

void t.test('what is in doubt is not taken', (t) => {
  for (const text of [
    '',
    '[]',
    '{}',
    '{"size":11e1}',
    '{"size":01}',
    '{"size":-11}',
    '{"at":1}',
    '{"name":1}',
    '{"other":1}',
  ]) {
    t.equal(read(text), null, text)
  }
  for (const text of [
    '{"size":1,"size":1}',
    '{"size":1',
    '{"size":1]',
    '{"name":"a',
    '{"at":"1970-01-01T24:00:00Z"}',
  ]) {
    t.equal(read(text), null, text)
  }
  t.end()
})

void t.test('times of one date and of another', (t) => {
  const seconds = (time: string) => read(`{"at":"${time}"}`)?.row[0]
  for (const time of ['2026-11-21T23:59:59Z', '2028-02-29T00:00:00.001Z', '2026-11-21T09:08:07.123456789Z']) {
    t.equal(seconds(time), Date.parse(time) / 1000, time)
  }
  t.end()
})
