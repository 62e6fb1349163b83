import t from 'tap'

import { continuedText, parseCard } from '../../src/fits/card.ts'

const value = (text: string): unknown => parseCard(text.padEnd(80)).value

void t.test('FITS 4.0, 4.2.1: strings end at a single quote, and doubled quotes stand for one', (t) => {
  t.strictSame(value("OBJECT  = 'M 31    '           / the target"), { type: 'string', value: 'M 31' })
  t.strictSame(value("OBJECT  = 'O''HARA'"), { type: 'string', value: "O'HARA" })
  t.strictSame(value("OBJECT  = '  a / b '"), { type: 'string', value: '  a / b' })
  t.strictSame(value("OBJECT  = ''"), { type: 'string', value: '' })
  t.strictSame(value("OBJECT  = 'open"), { type: 'unreadable', text: "'open" })
  t.strictSame(value("OBJECT  = 'a' b"), { type: 'unreadable', text: "'a' b" })
  t.end()
})

void t.test('FITS 4.0, 4.2.3 and 4.2.4: integers and reals, in fixed and free format, with E or D exponents', (t) => {
  const numbers: [string, number][] = [
    ['BITPIX  =                   16 / bits', 16],
    ['BITPIX  = -32', -32],
    ['BSCALE  = +1.5', 1.5],
    ['BSCALE  = .5', 0.5],
    ['BSCALE  = 5.', 5],
    ['BSCALE  = 1.25D+2', 125],
    ['BSCALE  =              -2.5E-3', -0.0025],
    ['BSCALE  = 3d1/no space', 30],
  ]
  for (const [text, expected] of numbers) t.strictSame(value(text), { type: 'number', value: expected }, text)
  for (const text of ['1e', '0x10', 'NaN', 'Infinity', '1 2', '1e999', '--1', '.', 'E5']) {
    t.strictSame(value(`BSCALE  = ${text}`), { type: 'unreadable', text }, text)
  }
  t.end()
})

void t.test('FITS 4.0, 4.2.2, 4.2.5 and 4.1.2.3: logicals, complex numbers and absent values', (t) => {
  t.strictSame(value('SIMPLE  =                    T / standard'), { type: 'logical', value: true })
  t.strictSame(value('SIMPLE  = F'), { type: 'logical', value: false })
  t.strictSame(value('SIMPLE  = TRUE'), { type: 'unreadable', text: 'TRUE' })
  t.strictSame(value('COMPLEXV= (1.5, -2.5)'), { type: 'complex' })
  t.strictSame(value('NOTHING =                      / no value'), { type: 'undefined' })
  t.end()
})

void t.test('FITS 4.0, 4.1.2.2: without the value indicator a card is a comment', (t) => {
  t.strictSame(parseCard('COMMENT  BITPIX = 99'.padEnd(80)), { keyword: 'COMMENT' })
  t.strictSame(parseCard('SIMPLE  =T'.padEnd(80)), { keyword: 'SIMPLE' })
  t.strictSame(parseCard('HIERARCH a b = 1'.padEnd(80)), { keyword: 'HIERARCH' })
  t.strictSame(parseCard('lower   = 1'.padEnd(80)).keyword, '')
  t.strictSame(parseCard(' BITPIX = 16'.padEnd(80)).keyword, '')
  t.end()
})

void t.test('FITS 4.0, 4.2.1.2: what a CONTINUE card adds', (t) => {
  t.equal(continuedText("CONTINUE  'and more&'  / comment".padEnd(80)), 'and more&')
  t.equal(continuedText('CONTINUE  17'.padEnd(80)), undefined)
  t.end()
})
