// Seconds of many times, of which most are of one date: a date is looked up once, the rest is read digit by digit.

/** A reader of times as the contract has them, `YYYY-MM-DDThh:mm:ss`, perhaps a fraction, `Z` or an offset; seconds since 1970. */
export function epochReader(): (time: string) => number {
  let date = NaN
  let midnight = NaN
  return (time) => {
    if (time.charCodeAt(time.length - 1) !== UPPER_Z) return Date.parse(time) / 1000
    const sameDate = dateOf(time)
    if (sameDate !== date) {
      date = sameDate
      midnight = Date.parse(`${time.slice(0, DATE_LENGTH)}T00:00:00Z`) / 1000
    }
    return midnight + 3600 * twoDigits(time, 11) + 60 * twoDigits(time, 14) + twoDigits(time, 17) + fractionOf(time)
  }
}

const ZERO = 48
const UPPER_Z = 90
const DATE_LENGTH = 10
const WITHOUT_FRACTION = 20
const WITH_MILLISECONDS = 24

/** A number for each date: 20261114. */
function dateOf(time: string): number {
  return 1e6 * twoDigits(time, 0) + 1e4 * twoDigits(time, 2) + 100 * twoDigits(time, 5) + twoDigits(time, 8)
}

function fractionOf(time: string): number {
  if (time.length === WITHOUT_FRACTION) return 0
  if (time.length === WITH_MILLISECONDS) return (10 * twoDigits(time, 20) + time.charCodeAt(22) - ZERO) / 1000
  return Number(`0${time.slice(19, -1)}`)
}

function twoDigits(text: string, at: number): number {
  return 10 * (text.charCodeAt(at) - ZERO) + text.charCodeAt(at + 1) - ZERO
}
