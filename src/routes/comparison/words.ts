// The comparison in sentences: what comes first, what holds each set-up back, and a verdict for every pair.

import { spokenLimit, spokenTimes } from '../../setup/comparison-words.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import type { Request, Solution, Standing } from './solve.ts'

/** Times that differ by less than this share are called equal: the sky of two nights differs more. */
const AS_QUICK = 0.02

/** The set-ups by time; equals by name, so that their order in the request does not matter. */
export function ranked(standings: readonly Standing[]): Standing[] {
  return [...standings].sort((a, b) => a.rank - b.rank || (a.name < b.name ? -1 : 1))
}

/** Writes the explanation into the notes. */
export function explain({ standings }: Solution, request: Request, notes: Notes): void {
  const order = ranked(standings)
  const first = order.filter(({ rank }) => rank === 1)
  notes.explain(headline(first, request))
  for (const it of order) {
    if (it.outcome.seconds === null) notes.explain(failure(it, request))
    const limit = spokenLimit(hardest(it).yielded, `“${it.name}”${hardest(it).where(request)}`)
    if (limit !== undefined) notes.explain(limit)
  }
  explainMoney(standings, notes)
  explainSensors(standings, notes)
  explainMosaics(standings, notes)
}

/** @param first  the best set-up, and those that equal it */
function headline(first: readonly Standing[], { targets, goal }: Request): string {
  const what = targets.length === 1 ? 'the goal' : 'the goal on every target'
  const names = first.map(({ name }) => `“${name}”`).join(' and ')
  const seconds = first[0]?.outcome.seconds ?? null
  const isAlone = first.length === 1
  if (seconds === null) return `No set-up reaches ${what}; ${names} ${isAlone ? 'comes' : 'come'} nearest.`
  return `${names} ${isAlone ? 'gets' : 'get'} there first: ${spokenSeconds(seconds)} to a signal-to-noise ratio of ${short(goal.snr)}, focusing, filter changes, losses and travel counted.`
}

function failure({ name, bestSites, yields }: Standing, { targets }: Request): string {
  const target = bestSites.indexOf(null)
  const reason = yields[target]?.[0]?.answer.reason ?? ''
  return `“${name}” does not reach the goal on “${targets[target]?.name ?? ''}”. ${reason}`
}

/** The target that takes a set-up longest, from its best site, and the words for where that is if there are several. */
function hardest({ yields, bestSites }: Standing) {
  const chosen = yields.flatMap((bySite, target) => {
    const site = bestSites[target] ?? 0
    const yielded = bySite[site]
    return yielded === undefined ? [] : [{ yielded, target, site }]
  })
  const longest = ({ yielded }: (typeof chosen)[number]) => yielded.outcome.seconds ?? Infinity
  const { yielded, target, site } = chosen.reduce((a, b) => (longest(b) > longest(a) ? b : a))
  const where = ({ targets, skies }: Request): string => {
    const on = targets.length > 1 ? ` on “${targets[target]?.name ?? ''}”` : ''
    return skies.length > 1 ? `${on} from “${skies[site]?.name ?? ''}”` : on
  }
  return { yielded, where }
}

function explainMoney(standings: readonly Standing[], notes: Notes): void {
  const best = ranked(standings).filter(({ moneyRank }) => moneyRank === 1)
  if (best.length === 0) return
  const names = best.map(({ name }) => `“${name}”`).join(' and ')
  notes.explain(`${names} ${best.length === 1 ? 'buys' : 'buy'} most speed for the money.`)
  for (const { name, dominatedBy } of standings) {
    if (dominatedBy === null) continue
    notes.explain(`“${name}” is not worth its price: “${dominatedBy}” is no dearer and no slower.`)
  }
}

function explainSensors(standings: readonly Standing[], notes: Notes): void {
  for (const { name, yields } of standings) {
    const it = yields.flat().find(({ sensor }) => sensor !== null)
    const { sensor } = it ?? {}
    if (sensor === null || sensor === undefined || sensor.largestMismatchElectronsPerPixelSecond === 0) continue
    const subSeconds = Math.max(...(it?.answer.channels ?? []).map((channel) => channel.subSeconds))
    const left = sensor.largestMismatchElectronsPerPixelSecond * subSeconds
    const [warmest, coldest] = [Math.max(...sensor.celsius), Math.min(...sensor.celsius)]
    notes.explain(
      `The sensor of “${name}” goes from ${short(warmest)} to ${short(coldest)} °C over the night: darks taken at its mean are off by up to ${short(left)} electrons in a sub, which dithering hides and matching darks remove. The hours here do not count it.`,
    )
  }
}

function explainMosaics(standings: readonly Standing[], notes: Notes): void {
  const planes = standings.flatMap(({ yields }) => yields.flat().flatMap(({ answer }) => answer.channels))
  const isMono = ({ plane }: (typeof planes)[number]) => plane === 'mono'
  if (!planes.some(isMono) || planes.every(isMono)) return
  notes.explain(
    'A mosaic takes its colours at once, each with a quarter or half of its pixels behind its dye; a mono sensor takes one filter after the other with all of them. Both are reckoned up to the same ratio in every colour.',
  )
}

export interface Pair {
  first: string
  second: string
  hoursSaved: number | null
  timeRatio: number | null
  priceDifference: number | null
  verdict: string
}

/** Every pair of set-ups. */
export function pairsOf(standings: readonly Standing[]): Pair[] {
  return standings.flatMap((first, index) => standings.slice(index + 1).map((second) => pairOf(first, second)))
}

function pairOf(first: Standing, second: Standing): Pair {
  const { seconds: one } = first.outcome
  const { seconds: two } = second.outcome
  const both = one !== null && two !== null
  return {
    first: first.name,
    second: second.name,
    hoursSaved: both ? (two - one) / 3600 : null,
    timeRatio: both ? two / one : null,
    priceDifference: first.price === null || second.price === null ? null : first.price - second.price,
    verdict: verdictOf(first, second),
  }
}

function verdictOf(first: Standing, second: Standing): string {
  const { seconds: one } = first.outcome
  const { seconds: two } = second.outcome
  if (one === null && two === null) return `Neither “${first.name}” nor “${second.name}” reaches the goal.`
  if (two === null) return `Only “${first.name}” reaches the goal, “${second.name}” does not.`
  if (one === null) return `Only “${second.name}” reaches the goal, “${first.name}” does not.`
  if (Math.abs(two - one) <= AS_QUICK * Math.max(one, two)) {
    return `“${first.name}” and “${second.name}” are as quick as each other${cheaperOf(first, second)}.`
  }
  const [quick, slow] = one < two ? [first, second] : [second, first]
  const [less, more] = one < two ? [one, two] : [two, one]
  return `“${quick.name}” takes ${spokenSeconds(less)} where “${slow.name}” takes ${spokenSeconds(more)}, ${howMuchLonger(more / less)}${atWhatPrice(quick, slow, more - less)}.`
}

function howMuchLonger(ratio: number): string {
  return ratio < 1.1 ? `${spokenShare(ratio - 1)} longer` : `${spokenTimes(ratio)} as long`
}

function cheaperOf(first: Standing, second: Standing): string {
  if (first.price === null || second.price === null || first.price === second.price) return ''
  return `, and “${first.price < second.price ? first.name : second.name}” costs less`
}

function atWhatPrice(quick: Standing, slow: Standing, savedSeconds: number): string {
  if (quick.price === null || slow.price === null) return ''
  const extra = quick.price - slow.price
  if (extra <= 0) return ', and the quicker one costs no more'
  return `; it costs ${short(extra)} more, ${short(extra / (savedSeconds / 3600))} for each hour saved`
}
