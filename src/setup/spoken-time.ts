/** A contract's times have four digits for the year. */
const EARLIEST_MS = Date.parse('0000-01-01T00:00:00Z')
const LATEST_MS = Date.parse('9999-12-31T23:59:59.999Z')

/** Whether a time, in seconds since 1970, can be said in the contract's form. */
export function isSpeakable(seconds: number): boolean {
  return seconds * 1000 >= EARLIEST_MS && seconds * 1000 <= LATEST_MS
}

/** A time in the contract's form, to the millisecond; one beyond it is said as the last or first that it knows. */
export function spokenTime(seconds: number): string {
  return new Date(Math.min(LATEST_MS, Math.max(EARLIEST_MS, Math.round(seconds * 1000)))).toISOString()
}
