// Why subs were not accepted: cloud, a long spell of something else, or single subs that something spoiled.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { Rows } from './rows.ts'

/** cloud-by-pattern: so many in a row that, with no word against it, cloud is the likely reason. */
export type RejectionCause = 'cloud' | 'cloud-by-pattern' | 'in-a-row' | 'single'

const CLOUD_WORDS = /cloud|\bhaz[ey]|\bfog|\bmist\b|overcast|\brain|\bsnow/i

/** So many in a row are a spell, no longer single subs: common practice, no source. */
const SPELL = 3

/** Below the first light was lost to cloud, above the second it was not: common practice, no source. */
const FLUX = { cloudy: 0.5, clear: 0.8 }

/**
 * What tells the cause of each row that is rejected.
 *
 * @param words  the reasons by number
 */
export function rejectionCauses(rows: Rows, words: readonly string[]): (index: number) => RejectionCause {
  const { log, places } = rows
  const { relativeStarFlux, reason } = log.columns
  const isCloudy = words.map((word) => CLOUD_WORDS.test(word))
  const runOf = runLengths(rows)
  return (index) => {
    const place = places[index]!
    const word = reason[place]!
    const isSpell = runOf(index) >= SPELL
    if (!Number.isNaN(word)) return isCloudy[word] === true ? 'cloud' : isSpell ? 'in-a-row' : 'single'
    const flux = relativeStarFlux[place]!
    if (flux < FLUX.cloudy) return 'cloud'
    if (!isSpell) return 'single'
    return flux >= FLUX.clear ? 'in-a-row' : 'cloud-by-pattern'
  }
}

/** How many in a row, within the night, on its camera, each rejected sub is one of. */
function runLengths({ log, places, clocks }: Rows): (index: number) => number {
  // The first sub of the run that each is one of; −1 for accepted ones.
  const firsts = log.memory.int32(places.length).fill(-1)
  const lengths = log.memory.uint32(places.length)
  for (let index = 0; index < places.length; index++) {
    const place = places[index]!
    if (log.columns.isAccepted[place] === 1) continue
    const before = clocks.before[index]!
    const first = before >= 0 && firsts[before]! >= 0 ? firsts[before]! : index
    firsts[index] = first
    lengths[first]!++
  }
  return (index) => lengths[firsts[index]!]!
}
