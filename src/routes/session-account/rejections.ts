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

/** The cause for each row; null for accepted subs. */
export function rejectionCauses(rows: Rows, words: readonly string[]): (RejectionCause | null)[] {
  const { log, places } = rows
  const { relativeStarFlux, reason, isAccepted } = log.columns
  const isCloudy = words.map((word) => CLOUD_WORDS.test(word))
  const runs = runLengths(rows)
  const causeOf = (place: number, run: number): RejectionCause | null => {
    if (isAccepted[place] === 1) return null
    const word = reason[place]!
    const isSpell = run >= SPELL
    if (!Number.isNaN(word)) return isCloudy[word] === true ? 'cloud' : isSpell ? 'in-a-row' : 'single'
    const flux = relativeStarFlux[place]!
    if (flux < FLUX.cloudy) return 'cloud'
    if (!isSpell) return 'single'
    return flux >= FLUX.clear ? 'in-a-row' : 'cloud-by-pattern'
  }
  const causes: (RejectionCause | null)[] = []
  for (let index = 0; index < places.length; index++) causes.push(causeOf(places[index]!, runs[index]!))
  return causes
}

/** How many in a row, within the night, on its camera, each rejected sub is one of; 0 for accepted ones. */
function runLengths({ log, places, clocks }: Rows): Uint32Array {
  // The first sub of the run that each is one of; −1 for accepted ones.
  const firsts = new Int32Array(places.length).fill(-1)
  const lengths = new Uint32Array(places.length)
  for (let index = 0; index < places.length; index++) {
    const place = places[index]!
    if (log.columns.isAccepted[place] === 1) continue
    const before = clocks.before[index]!
    const first = before >= 0 && firsts[before]! >= 0 ? firsts[before]! : index
    firsts[index] = first
    lengths[first]!++
  }
  const runs = new Uint32Array(places.length)
  for (let index = 0; index < runs.length; index++) {
    const first = firsts[index]!
    if (first >= 0) runs[index] = lengths[first]!
  }
  return runs
}
