// Reads values as programs usually write them, straight from a text: no object for a line, and few strings. What is written in
// any other way is left to `read-line.ts`, which knows everything that may stand there.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- codes and powers are read at indices they have */

import type { LineField } from './line-fields.ts'
import type { SubLog } from './sub-log.ts'

export const CODES = {
  tab: 0x09,
  lineFeed: 0x0a,
  return: 0x0d,
  space: 0x20,
  quote: 0x22,
  comma: 0x2c,
  minus: 0x2d,
  point: 0x2e,
  zero: 0x30,
  one: 0x31,
  nine: 0x39,
  backslash: 0x5c,
  openBrace: 0x7b,
  closeBrace: 0x7d,
} as const

/** Integers of so many digits are exact, and their quotients by these powers of ten are the nearest doubles. */
const MOST_DIGITS = 15
const POWERS_OF_TEN = Float64Array.from({ length: MOST_DIGITS + 1 }, (_, power) => 10 ** power)

/** Characters that are looked at in one go. */
const WINDOW = 65_536

/** A text as codes of its characters, to be compared with. */
export type Codes = Uint16Array

export const codesOf = (text: string): Codes => Uint16Array.from(text, (character) => character.charCodeAt(0))

const TRUE = codesOf('true')
const FALSE = codesOf('false')

export class QuickValues {
  readonly #log: SubLog
  #text = ''
  /** Codes of the text from here on: a text that was put together from pieces is slow to be asked for each. */
  #from = 0
  readonly #codes = new Uint16Array(WINDOW + 1)
  readonly #bytes = Buffer.from(this.#codes.buffer)
  /** Where reading goes on, in the codes. */
  #place = 0

  constructor(log: SubLog) {
    this.#log = log
  }

  begin(text: string, at: number): void {
    const place = at - this.#from
    if (text === this.#text && place >= 0 && place < WINDOW / 2) this.#place = place
    else this.#look(text, at)
  }

  #look(text: string, at: number): void {
    this.#text = text
    this.#from = at
    this.#place = 0
    const length = this.#bytes.write(text.slice(at, at + WINDOW), 'utf16le') / 2
    this.#codes[length] = 0
  }

  /** Where reading goes on, in the text. */
  get at(): number {
    return this.#from + this.#place
  }

  /** The character to come; 0 where no more can be seen. */
  get next(): number {
    return this.#codes[this.#place]!
  }

  /** Goes on behind a character, if it comes next. */
  pass(code: number): boolean {
    const isNext = this.next === code
    if (isNext) this.#place++
    return isNext
  }

  passText(text: Codes): boolean {
    const place = this.#place
    for (let index = 0; index < text.length; index++) if (this.#codes[place + index] !== text[index]) return false
    this.#place = place + text.length
    return true
  }

  /** Goes on behind whatever JSON takes for space. */
  passSpace(): void {
    const { space, lineFeed, return: carriageReturn, tab } = CODES
    for (let code = this.next; code <= space; code = this.next) {
      if (code !== space && code !== lineFeed && code !== carriageReturn && code !== tab) return
      this.#place++
    }
  }

  /** A value of a field as the log keeps it; NaN where none that is allowed stands there in its usual spelling. */
  value(field: LineField): number {
    switch (field.kind) {
      case 'number': {
        const value = this.#number()
        return field.allows(value) ? value : NaN
      }
      case 'boolean':
        return this.passText(TRUE) ? 1 : this.passText(FALSE) ? 0 : NaN
      case 'time':
        return this.#seconds(field)
      case 'word':
        return this.#log.wordsOf(field).known(this.#word())
    }
  }

  /** Digits, a sign before them if it is minus, and a decimal point among them; NaN for anything else. */
  #number(): number {
    const isNegative = this.pass(CODES.minus)
    const whole = this.#place
    let value = this.#digits(0)
    let digits = this.#place - whole
    if (digits === 0 || (digits > 1 && this.#codes[whole] === CODES.zero)) return NaN
    let decimals = 0
    if (this.pass(CODES.point)) {
      const from = this.#place
      value = this.#digits(value)
      decimals = this.#place - from
      if (decimals === 0) return NaN
      digits += decimals
    }
    if (digits > MOST_DIGITS) return NaN
    value /= POWERS_OF_TEN[decimals]!
    return isNegative ? -value : value
  }

  /** Goes on behind digits, which continue a whole number. */
  #digits(begun: number): number {
    let value = begun
    for (let code = this.next; code >= CODES.zero && code <= CODES.nine; code = this.next) {
      value = value * 10 + (code - CODES.zero)
      this.#place++
    }
    return value
  }

  #seconds(field: LineField): number {
    const time = this.#word()
    return field.allows(time) ? this.#log.secondsOf(time) : NaN
  }

  #word(): string {
    const { comma, quote, backslash, space } = CODES
    const from = this.#place
    for (let code = this.next; code >= space; code = this.next) {
      if (code === comma || code === quote || code === backslash) break
      this.#place++
    }
    return this.#text.slice(this.#from + from, this.at)
  }
}
