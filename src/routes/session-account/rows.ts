// From filed lines to subs that can be accounted.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { AccountSubs, clockOfSubs, type SubClocks } from '../../engine/index.ts'
import { inPartsOf, type Work } from '../../setup/work.ts'
import type { FiledLog } from './filing.ts'
import type { FilterSetup } from './filters.ts'
import type { Meter } from './meter.ts'
import type { Remarks } from './remarks.ts'

/** Subs that are accounted, accepted or not, in the order of time. */
export interface Rows {
  log: FiledLog
  /** Their places in the columns of the log. */
  places: Uint32Array
  /** Length of each. */
  subSeconds: Float64Array
  clocks: SubClocks
}

/** Subs that are gone through in one turn. */
export const SUBS_PER_TURN = 8192

/** What arrived on the accepted subs of each filter, and the places of all that can be accounted. */
export function* measuredSubs(
  log: FiledLog,
  setups: readonly FilterSetup[],
  meter: Meter,
): Work<{ subs: AccountSubs[]; places: Uint32Array }> {
  const { order, filterOf, columns, memory } = log
  const subs = setups.map((_, filter) => new AccountSubs(accepted(log, filter), memory))
  const places = memory.uint32(order.length)
  let count = 0
  const take = (from: number, to: number) => {
    for (let index = from; index < to; index++) {
      const place = order[index]!
      const filter = filterOf[place]!
      const read = meter.read(place, setups[filter]!)
      if (read === null) continue
      places[count++] = place
      if (columns.isAccepted[place] === 1) subs[filter]!.push(read)
    }
  }
  yield* inPartsOf(SUBS_PER_TURN, order.length, take)
  return { subs, places: places.subarray(0, count) }
}

/** Accepted lines of a filter, at most. */
function accepted({ order, filterOf, columns }: FiledLog, filter: number): number {
  let count = 0
  for (const place of order) if (filterOf[place] === filter && columns.isAccepted[place] === 1) count++
  return count
}

/** The rows of a log on the clock. */
export function* rowsOf(log: FiledLog, places: Uint32Array, remarks: Remarks): Work<Rows> {
  const { memory } = log
  const starts = memory.float64(places.length)
  const subSeconds = memory.float64(places.length)
  const filters = memory.uint8(places.length)
  for (let index = 0; index < places.length; index++) {
    starts[index] = log.columns.startSeconds[places[index]!]!
    subSeconds[index] = log.columns.subSeconds[places[index]!]!
    filters[index] = log.filterOf[places[index]!]!
  }
  yield
  const clocks = clockOfSubs(starts, subSeconds, filters, memory)
  yield
  for (let index = 0; index < places.length; index++) {
    if (clocks.isOverlapping[index] === 1) remarks.add('overlapping', log.columns.line[places[index]!]!)
  }
  return { log, places, subSeconds, clocks }
}
