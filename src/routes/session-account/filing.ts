// Lines filed: each under a filter of the request, in the order of time, and once.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { ColumnMemory } from '../../engine/index.ts'
import type { Work } from '../../setup/work.ts'
import type { BadLines } from './log/bad-lines.ts'
import type { Columns, SubLog } from './log/sub-log.ts'
import { mendedStarts } from './mended-starts.ts'
import type { Remarks } from './remarks.ts'

export interface FiledLog {
  columns: Columns
  /** Places of the lines in the columns, in the order of time. */
  order: Uint32Array
  /** Filter of the request for each place. */
  filterOf: Uint8Array
  /** For further columns. */
  memory: ColumnMemory
}

const NO_FILTER = 255

/** Files a log under filters; what cannot be filed goes to the bad lines. */
export function* fileLog(log: SubLog, labels: readonly (string | null)[], remarks: Remarks): Work<FiledLog> {
  const { columns, memory } = log
  const filterOf = filtersOfLines(columns, log.filters.list, labels, log.bad)
  yield
  const known = placesOfKnown(filterOf, memory)
  yield
  const mended = { ...columns, startSeconds: mendedStarts(known, columns, filterOf, remarks) }
  yield
  const order = sortByStart(known, mended)
  yield
  return { columns: mended, order: withoutCopies(order, mended, filterOf, remarks), filterOf, memory }
}

function filtersOfLines(
  { line, filter }: Columns,
  names: readonly string[],
  labels: readonly (string | null)[],
  bad: BadLines,
): Uint8Array {
  const [only] = labels
  // A filter without a label is the only one, whatever the log calls it.
  if (only === null) return new Uint8Array(line.length)
  // A log of one filter need not repeat its name.
  const unnamed = labels.length === 1 ? 0 : NO_FILTER
  const known = labels.map((label) => JSON.stringify(label)).join(', ')
  const indices = names.map((name) => labels.indexOf(name))
  return new Uint8Array(line.length).map((_, place) => {
    const name = filter[place]!
    const index = Number.isNaN(name) ? unnamed : indices[name]!
    if (index >= 0 && index !== NO_FILTER) return index
    const given = Number.isNaN(name) ? 'missing' : `${JSON.stringify(names[name])} given`
    bad.add(line[place]!, 'filter', `${given}; wanted: a label out of \`filters\`: ${known}`)
    return NO_FILTER
  })
}

function placesOfKnown(filterOf: Uint8Array, memory: ColumnMemory): Uint32Array {
  const places = memory.uint32(filterOf.length)
  let count = 0
  for (let place = 0; place < filterOf.length; place++) if (filterOf[place] !== NO_FILTER) places[count++] = place
  return places.subarray(0, count)
}

function sortByStart(places: Uint32Array, { startSeconds }: Columns): Uint32Array {
  const startOf = (place: number) => startSeconds[place]!
  return isInOrder(places, startOf) ? places : places.sort((one, other) => startOf(one) - startOf(other))
}

function isInOrder(places: Uint32Array, startOf: (place: number) => number): boolean {
  let before = -Infinity
  for (const place of places) {
    const start = startOf(place)
    if (start < before) return false
    before = start
  }
  return true
}

/** One camera begins one sub at a time: the same start, filter and length are the same sub. Writes over the order. */
function withoutCopies(
  order: Uint32Array,
  { line, startSeconds, subSeconds }: Columns,
  filterOf: Uint8Array,
  remarks: Remarks,
): Uint32Array {
  const keyOf = (place: number) => `${filterOf[place]!} ${subSeconds[place]!}`
  let count = 0
  let start = NaN
  let seen: Set<string> | null = null
  let last = -1
  for (const place of order) {
    if (startSeconds[place] === start) {
      seen ??= new Set([keyOf(last)])
      const isCopy = seen.has(keyOf(place))
      seen.add(keyOf(place))
      if (isCopy) {
        remarks.add('duplicate', line[place]!)
        continue
      }
    } else {
      start = startSeconds[place]!
      seen = null
      last = place
    }
    order[count++] = place
  }
  return order.subarray(0, count)
}
