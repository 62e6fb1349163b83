// What subs add up to, for each filter and each night.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { SessionTime, WatchedSubs } from '../../engine/index.ts'
import { inPartsOf, type Work } from '../../setup/work.ts'
import { rejectionCauses, type RejectionCause } from './rejections.ts'
import { SUBS_PER_TURN, type Rows } from './rows.ts'

/** Rejected subs that the log gives one reason for; −1 for none. */
export type ReasonTally = Map<number, { subCount: number; exposureSeconds: number }>

export interface FilterTally extends SessionTime {
  acceptedCount: number
  /** Lines of the accepted subs, in the order of time. */
  lines: Uint32Array
  rejectedCount: number
  clockSeconds: number
  reasons: ReasonTally
  /** Seconds of subs rejected in a row, by reason as there. */
  spellReasons: Map<number, number>
  /** Seconds of subs that only their number in a row tells to be lost to cloud. */
  guessedCloudSeconds: number
  /** Accepted subs of each length. */
  lengths: Map<number, number>
}

export interface NightTally {
  startSeconds: number
  endSeconds: number
  exposureSeconds: number
  subCount: number
  rejectedCount: number
}

const newTally = (lines: Uint32Array): FilterTally => ({
  acceptedCount: 0,
  lines,
  rejectedCount: 0,
  exposureSeconds: 0,
  rejectedSeconds: 0,
  cloudSeconds: 0,
  spellSeconds: 0,
  deadSeconds: 0,
  pauseSeconds: 0,
  clockSeconds: 0,
  reasons: new Map(),
  spellReasons: new Map(),
  guessedCloudSeconds: 0,
  lengths: new Map(),
})

/**
 * Adds up the rows of a log.
 *
 * @param acceptedCounts  accepted subs of each filter
 * @param words  the reasons by number
 */
export function* tallyOf(
  rows: Rows,
  acceptedCounts: readonly number[],
  words: readonly string[],
): Work<{
  filters: FilterTally[]
  nights: NightTally[]
}> {
  const { log, places, subSeconds: lengths, clocks } = rows
  const { columns, filterOf } = log
  const causeOf = rejectionCauses(rows, words)
  yield
  const filters = acceptedCounts.map((count) => newTally(log.memory.uint32(count)))
  const nights: NightTally[] = []
  const take = (index: number) => {
    const place = places[index]!
    const filter = filters[filterOf[place]!]!
    const subSeconds = lengths[index]!
    const startSeconds = columns.startSeconds[place]!
    const isAccepted = columns.isAccepted[place] === 1
    filter.clockSeconds += clocks.clockSeconds[index]!
    filter.deadSeconds += clocks.deadSeconds[index]!
    filter.pauseSeconds += clocks.pauseSeconds[index]!
    const night = nightAt(nights, clocks.night[index]!, startSeconds)
    night.endSeconds = Math.max(night.endSeconds, startSeconds + subSeconds)
    if (isAccepted) {
      accept(filter, subSeconds, columns.line[place]!)
      night.exposureSeconds += subSeconds
      night.subCount++
    } else {
      reject(filter, subSeconds, columns.reason[place]!, causeOf(index))
      night.rejectedCount++
    }
  }
  yield* inPartsOf(SUBS_PER_TURN, places.length, (from, to) => {
    for (let index = from; index < to; index++) take(index)
  })
  return { filters, nights }
}

function accept(filter: FilterTally, subSeconds: number, line: number): void {
  filter.lines[filter.acceptedCount++] = line
  filter.exposureSeconds += subSeconds
  filter.lengths.set(subSeconds, (filter.lengths.get(subSeconds) ?? 0) + 1)
}

function reject(filter: FilterTally, subSeconds: number, reason: number, cause: RejectionCause): void {
  filter.rejectedCount++
  const key = Number.isNaN(reason) ? -1 : reason
  switch (cause) {
    case 'cloud-by-pattern':
      filter.guessedCloudSeconds += subSeconds
      filter.cloudSeconds += subSeconds
      break
    case 'cloud':
      filter.cloudSeconds += subSeconds
      break
    case 'in-a-row':
      filter.spellSeconds += subSeconds
      filter.spellReasons.set(key, (filter.spellReasons.get(key) ?? 0) + subSeconds)
      break
    case 'single':
      filter.rejectedSeconds += subSeconds
  }
  const { subCount, exposureSeconds } = filter.reasons.get(key) ?? { subCount: 0, exposureSeconds: 0 }
  filter.reasons.set(key, { subCount: subCount + 1, exposureSeconds: exposureSeconds + subSeconds })
}

function nightAt(nights: NightTally[], index: number, startSeconds: number): NightTally {
  const known = nights[index]
  if (known !== undefined) return known
  const night = { startSeconds, endSeconds: startSeconds, exposureSeconds: 0, subCount: 0, rejectedCount: 0 }
  nights.push(night)
  return night
}

/** The rows as what interruptions are learnt from. */
export function watchedSubs({ log, places, subSeconds, clocks }: Rows): WatchedSubs {
  const isSpoiled = log.memory.uint8(places.length)
  for (let index = 0; index < places.length; index++) isSpoiled[index] = log.columns.isSpoiled[places[index]!]!
  return { subSeconds, isSpoiled, before: clocks.before }
}
