// The fewest sets of darks for a list of planned subs.

import { smallestDarkLibrary, type LibraryDark } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import type { Request } from './stack.ts'
import { stricter, type Temperature } from './temperature.ts'

/** Names plans whose warmest temperature is colder than their coldest. */
export function checkLibrary({ library }: Request, notes: Notes): void {
  for (const [index, { coldestCelsius, warmestCelsius }] of (library?.planned ?? []).entries()) {
    if (warmestCelsius === undefined || warmestCelsius >= coldestCelsius) continue
    notes.broken(
      `/library/planned/${index}/warmestCelsius`,
      `${warmestCelsius} °C is colder than coldestCelsius, ${coldestCelsius} °C`,
    )
  }
}

/** Farther off than this no dark is taken, however little the model sees of it. */
const WIDEST_CELSIUS = 5

/** What is allowed where nothing is known of the dark current. */
const UNKNOWN_CELSIUS = 1

/** The library; null where no subs are planned. */
export function libraryOf(
  { library }: Request,
  temperature: Temperature | null,
  isDithered: boolean,
  notes: Notes,
): LibraryDark[] | null {
  if (library === undefined) return null
  const toleranceCelsius =
    library.toleranceCelsius ?? notes.assume('/library/toleranceCelsius', ...defaultTolerance(temperature, isDithered))
  return smallestDarkLibrary({
    planned: library.planned.map(({ subSeconds, coldestCelsius, warmestCelsius }) => ({
      subSeconds,
      coldestCelsius,
      warmestCelsius: warmestCelsius ?? coldestCelsius,
    })),
    toleranceCelsius,
  })
}

function defaultTolerance(temperature: Temperature | null, isDithered: boolean): [number, string] {
  if (temperature === null) return [UNKNOWN_CELSIUS, `the dark current is unknown (${COMMON_PRACTICE})`]
  // Dither moves hot pixels about and clipping takes them out; without it they stay where they are.
  const limits = [temperature.toleranceCelsius, isDithered ? null : stricter(temperature.hot)].flatMap(
    (one) => one ?? [],
  )
  const whose = isDithered ? 'ordinary' : 'ordinary and hot'
  return [
    Math.min(WIDEST_CELSIUS, ...limits),
    `not given: what keeps ${whose} pixels within the tolerance, at most ${WIDEST_CELSIUS} (${COMMON_PRACTICE})`,
  ]
}
