// The temperatures that the table has rows for.

import type { Notes } from '../../setup/notes.ts'
import type { Request } from './request.ts'

const MOST_ROWS = 200

const DEFAULT_CELSIUS = { fromCelsius: -20, toCelsius: 25, stepCelsius: 5 }

/** Resolves a list or a range of temperatures. */
export function resolveTemperatures({ celsius }: Request, notes: Notes): number[] {
  if (celsius === undefined) return spread(notes.assume('/celsius', DEFAULT_CELSIUS, 'not given'))
  if (Array.isArray(celsius)) return celsius
  const { fromCelsius, toCelsius, stepCelsius } = celsius
  if (toCelsius < fromCelsius) {
    notes.broken('/celsius/toCelsius', `${toCelsius} °C is colder than fromCelsius, ${fromCelsius} °C`)
    return []
  }
  if ((toCelsius - fromCelsius) / stepCelsius >= MOST_ROWS) {
    notes.broken('/celsius/stepCelsius', `steps of ${stepCelsius} °C make more than ${MOST_ROWS} rows`)
    return []
  }
  return spread(celsius)
}

function spread({ fromCelsius, toCelsius, stepCelsius }: typeof DEFAULT_CELSIUS): number[] {
  // The slack lets 0.1 °C steps reach their end in spite of rounding; rounding takes off what they gather.
  const count = Math.floor((toCelsius - fromCelsius) / stepCelsius + 1e-9) + 1
  return Array.from({ length: count }, (_, index) => Number((fromCelsius + index * stepCelsius).toFixed(9)))
}
