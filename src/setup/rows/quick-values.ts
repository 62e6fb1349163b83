// Reads values as programs usually write them, straight from a text: no object for a line, and few strings. What is written in
// any other way is left to those who know everything that may stand there.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- codes and powers are read at indices they have */

import { codesOf, type Codes, type RowField } from './row-fields.ts'

/** What stands for times and words. */
export interface WordNumbers {
  /** Seconds since 1970. */
  secondsOf: (time: string) => number
  /** NaN for a word that has to be looked at with care. */
  numberOf: (field: RowField, word: string) => number
}

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
  colon: 0x3a,
  upperZ: 0x5a,
  backslash: 0x5c,
  closeBracket: 0x5d,
  openBrace: 0x7b,
  closeBrace: 0x7d,
} as const

/** Integers of so many digits are exact, and their quotients by these powers of ten are the nearest doubles. */
const MOST_DIGITS = 15
const POWERS_OF_TEN = Float64Array.from({ length: MOST_DIGITS + 1 }, (_, power) => 10 ** power)

/** Characters that are looked at in one go. */
const WINDOW = 16_384

/** `YYYY-MM-DDT` */
const DATE_LENGTH = 11

const TRUE = codesOf('true')
const FALSE = codesOf('false')

export class QuickValues {
  readonly #words: WordNumbers
  #text = ''
  /** Codes of the text from here on: a text that was put together from pieces is slow to be asked for each. */
  #from = 0
  readonly #codes = new Uint16Array(WINDOW + 1)
  readonly #bytes = Buffer.from(this.#codes.buffer)
  /** Where reading goes on, in the codes. */
  #place = 0
  /** The date met last, and when it began. */
  #date: Codes = new Uint16Array(DATE_LENGTH)
  #midnight = NaN

  constructor(words: WordNumbers) {
    this.#words = words
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
    const codes = this.#codes
    const place = this.#place
    const { length } = text
    for (let index = 0; index < length; index++) if (codes[place + index] !== text[index]) return false
    this.#place = place + length
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

  /**
   * Goes on behind a value of a field, a number for it in its column of the row that begins at `from`. Written there rather
   * than returned: a number that a function returns may need memory of its own.
   *
   * @returns false where none that is allowed stands there in its usual spelling; what the row holds is of no use then
   */
  take(field: RowField, rows: Float64Array, from: number): boolean {
    const at = from + field.column
    switch (field.kind) {
      case 'number':
        return this.#takeNumber(rows, at) && rows[at]! >= field.minimum && rows[at]! <= field.maximum
      case 'boolean':
        rows[at] = this.passText(TRUE) ? 1 : this.passText(FALSE) ? 0 : NaN
        break
      case 'time':
        rows[at] = this.#seconds(field)
        break
      case 'word':
        rows[at] = this.#words.numberOf(field, this.#word())
    }
    return !Number.isNaN(rows[at])
  }

  /** Digits, a sign before them if it is minus, and a decimal point among them; false for anything else. */
  #takeNumber(rows: Float64Array, at: number): boolean {
    const codes = this.#codes
    const { zero, nine } = CODES
    let place = this.#place
    const isNegative = codes[place] === CODES.minus
    if (isNegative) place++
    const whole = place
    let value = 0
    let code = codes[place]!
    while (code >= zero && code <= nine) {
      value = value * 10 + (code - zero)
      code = codes[++place]!
    }
    let digits = place - whole
    if (digits === 0 || (digits > 1 && codes[whole] === zero)) return false
    let decimals = 0
    if (code === CODES.point) {
      const point = place
      code = codes[++place]!
      while (code >= zero && code <= nine) {
        value = value * 10 + (code - zero)
        code = codes[++place]!
      }
      decimals = place - point - 1
      if (decimals === 0) return false
      digits += decimals
    }
    if (digits > MOST_DIGITS) return false
    this.#place = place
    value /= POWERS_OF_TEN[decimals]!
    rows[at] = isNegative ? -value : value
    return true
  }

  #seconds(field: RowField): number {
    const seconds = this.#secondsOfDay()
    if (!Number.isNaN(seconds)) return seconds
    const codes = this.#codes.slice(this.#place, this.#place + DATE_LENGTH)
    const time = this.#word()
    if (!field.allows(time)) return NaN
    this.#date = codes
    this.#midnight = this.#words.secondsOf(`${time.slice(0, DATE_LENGTH)}00:00:00Z`)
    return this.#words.secondsOf(time)
  }

  /** Goes on behind a time of the date met last, to the second or with decimals, that ends with `Z`; NaN for any other. */
  #secondsOfDay(): number {
    const codes = this.#codes
    const { zero, nine } = CODES
    const from = this.#place
    const date = this.#date
    for (let index = 0; index < DATE_LENGTH; index++) if (codes[from + index] !== date[index]) return NaN
    const hours = twoDigits(codes, from + 11)
    const minutes = twoDigits(codes, from + 14)
    const seconds = twoDigits(codes, from + 17)
    const isTime =
      hours < 24 && minutes < 60 && seconds < 60 && codes[from + 13] === CODES.colon && codes[from + 16] === CODES.colon
    if (!isTime) return NaN
    let place = from + 19
    let fraction = 0
    if (codes[place] === CODES.point) {
      const point = place++
      for (let code = codes[place]!; code >= zero && code <= nine; code = codes[++place]!) {
        fraction = fraction * 10 + (code - zero)
      }
      const decimals = place - point - 1
      if (decimals === 0 || decimals > MOST_DIGITS) return NaN
      fraction /= POWERS_OF_TEN[decimals]!
    }
    if (codes[place] !== CODES.upperZ) return NaN
    this.#place = place + 1
    return this.#midnight + 3600 * hours + 60 * minutes + seconds + fraction
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

/** A number of two digits; NaN where there are others. */
function twoDigits(codes: Codes, at: number): number {
  const tens = codes[at]! - CODES.zero
  const ones = codes[at + 1]! - CODES.zero
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? 10 * tens + ones : NaN
}
