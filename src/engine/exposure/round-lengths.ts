// Lengths people set: whole seconds, then fives, tens, half minutes, minutes and five minutes, the step growing with the
// length so that rounding never moves it by more than a tenth or so. Common practice, no source.

const STEPS: readonly { below: number; step: number }[] = [
  { below: 10, step: 1 },
  { below: 30, step: 5 },
  { below: 60, step: 10 },
  { below: 300, step: 30 },
  { below: 1200, step: 60 },
]
const LONGEST_STEP = 300

/** Below a second: 1, 2, 5 of each decade. */
const FRACTIONS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5]

/**
 * The round length nearest to a length that still lies in a range.
 *
 * Where the range is too narrow to hold one, the longest length of two digits in it stands in.
 *
 * @param seconds  where to look first, > 0
 * @param range  ends in seconds, `to` null when open
 * @returns null when the range holds neither
 * @derived the neighbours on either side, the nearer by ratio first, the shorter on a tie
 */
export function nearestRoundSeconds(seconds: number, range: { from: number; to: number | null }): number | null {
  const { from, to } = range
  const inside = (length: number) => length >= from && (to === null || length <= to)
  const candidates = [roundDown(seconds), roundUp(seconds), roundUp(from), ...(to === null ? [] : [roundDown(to)])]
  const allowed = candidates.filter((length) => length > 0 && inside(length))
  if (allowed.length === 0) return to !== null && inside(twoDigits(to)) ? twoDigits(to) : null
  const distance = (length: number) => Math.abs(Math.log(length / seconds))
  return allowed.reduce((best, length) => (distance(length) < distance(best) ? length : best))
}

/** Cut to two significant digits. */
function twoDigits(seconds: number): number {
  const digit = 10 ** (Math.floor(Math.log10(seconds)) - 1)
  return Number((Math.floor(seconds / digit + 1e-9) * digit).toPrecision(2))
}

/**
 * The longest round length that isn't longer.
 *
 * @returns seconds; 0 below a millisecond
 * @derived from the table of steps
 */
export function roundDown(seconds: number): number {
  if (seconds < 1) return FRACTIONS.findLast((length) => length <= seconds) ?? 0
  const step = stepAt(seconds)
  return Math.floor(seconds / step) * step
}

/**
 * The shortest round length that isn't shorter.
 *
 * @returns seconds
 * @derived from the table of steps
 */
export function roundUp(seconds: number): number {
  if (seconds < 1) return FRACTIONS.find((length) => length >= seconds) ?? 1
  const step = stepAt(seconds)
  return Math.ceil(seconds / step) * step
}

function stepAt(seconds: number): number {
  return STEPS.find(({ below }) => seconds < below)?.step ?? LONGEST_STEP
}
