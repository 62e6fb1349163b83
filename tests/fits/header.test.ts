import t from 'tap'

import { FitsHeader, findEndCard, parseHeader } from '../../src/fits/header.ts'
import { card, header } from '../frames/support/fits-file.ts'

void t.test('FITS 4.0, 4.2.1.2: a string that ends in & goes on in CONTINUE cards', (t) => {
  const cards = ["LONG    = 'one &'", "CONTINUE  'two &'", "CONTINUE  'three'", "OTHER   = 'left &'", card('NEXT', 1)]
  const parsed = new FitsHeader(cards.map((line) => line.padEnd(80)))
  t.strictSame(parsed.values('LONG'), [{ type: 'string', value: 'one two three' }])
  t.strictSame(parsed.values('OTHER'), [{ type: 'string', value: 'left &' }], 'no CONTINUE: the & is text')
  t.equal(parsed.keywordAt(2), 'NEXT')
  t.equal(parsed.keywordAt(9), '')
  t.end()
})

void t.test('a CONTINUE card that continues nothing is passed over', (t) => {
  const lines = ["LONG    = 'one&'", 'CONTINUE  17', "CONTINUE  'lost'"]
  const parsed = new FitsHeader(lines.map((line) => line.padEnd(80)))
  t.strictSame(parsed.values('LONG'), [{ type: 'string', value: 'one&' }])
  t.end()
})

void t.test('a decisive number: absent, undefined, repeated alike, repeated otherwise, of another type', (t) => {
  const lines = [
    'A       =',
    'B       = 2',
    'B       = 2.0',
    'C       = 1',
    'C       = 2',
    "D       = '5'",
    'E       = 5x',
  ]
  const parsed = new FitsHeader(lines.map((line) => line.padEnd(80)))
  t.equal(parsed.decisiveNumber('Z'), undefined)
  t.equal(parsed.decisiveNumber('A'), undefined)
  t.equal(parsed.decisiveNumber('B'), 2)
  t.throws(() => parsed.decisiveNumber('C'), { code: 'keyword-repeated', details: { card: 'C', given: 2 } })
  t.throws(() => parsed.decisiveNumber('D'), { code: 'value-unreadable', details: { card: 'D', given: 'string' } })
  t.throws(() => parsed.decisiveNumber('E'), { code: 'value-unreadable', details: { card: 'E', given: '5x' } })
  t.end()
})

void t.test('a logical is true only when it is T', (t) => {
  const parsed = new FitsHeader([card('YES', true), card('NO', false), card('ONE', 1)])
  t.strictSame(
    ['YES', 'NO', 'ONE', 'NONE'].map((keyword) => parsed.isTrue(keyword)),
    [true, false, false, false],
  )
  t.end()
})

void t.test('the END card is found at a card boundary and nowhere else', (t) => {
  const bytes = header([card('ENDING', 1), "TEXT    = 'END     '"])
  t.equal(findEndCard(bytes, 0), 2)
  t.equal(findEndCard(bytes, 3), -1)
  t.equal(findEndCard(bytes.subarray(0, 239), 0), -1, 'an incomplete card does not count')
  t.equal(parseHeader(bytes, 2).keywordAt(1), 'TEXT')
  t.end()
})
