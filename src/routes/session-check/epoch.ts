// Seconds of many times a night apart by hours at most: the date is read once, the rest digit by digit.

/** A reader of times as the contract has them, `YYYY-MM-DDThh:mm:ss`, perhaps a fraction, `Z`; seconds since 1970. */
export function epochReader(): (time: string) => number {
  let date = ''
  let midnight = NaN
  return (time) => {
    if (!time.startsWith(date) || date === '') {
      date = time.slice(0, DATE_LENGTH)
      midnight = Date.parse(`${date}T00:00:00Z`) / 1000
    }
    const fraction = time.length === WITHOUT_FRACTION || time.endsWith('.000Z') ? 0 : Number(`0${time.slice(19, -1)}`)
    return midnight + 3600 * twoDigits(time, 11) + 60 * twoDigits(time, 14) + twoDigits(time, 17) + fraction
  }
}

const ZERO = 48
const DATE_LENGTH = 10
const WITHOUT_FRACTION = 20

function twoDigits(text: string, at: number): number {
  return 10 * (text.charCodeAt(at) - ZERO) + text.charCodeAt(at + 1) - ZERO
}
