// The comparison in sentences: what comes first, what holds each set-up back, and a verdict for every pair.

import { spokenLimit, spokenTimes } from '../../setup/comparison-words.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenSeconds } from '../../setup/words.ts'
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
  const [best] = order
  if (best === undefined) return
  notes.explain(headline(best, request))
  for (const it of order) {
    if (it.outcome.seconds === null) notes.explain(failure(it, request))
    const limit = spokenLimit(hardest(it), `“${it.name}”`)
    if (limit !== undefined) notes.explain(limit)
  }
  explainMoney(standings, notes)
  explainSensors(standings, notes)
  explainMosaics(standings, notes)
}

function headline({ name, outcome }: Standing, { targets, goal }: Request): string {
  const what = targets.length === 1 ? 'the goal' : 'the goal on every target'
  if (outcome.seconds === null) return `No set-up reaches ${what}; “${name}” comes nearest.`
  return `“${name}” gets there first: ${spokenSeconds(outcome.seconds)} to a signal-to-noise ratio of ${short(goal.snr)}, focusing, filter changes, losses and travel counted.`
}

function failure({ name, bestSites, yields }: Standing, { targets }: Request): string {
  const target = bestSites.indexOf(null)
  const reason = yields[target]?.[0]?.answer.reason ?? ''
  return `“${name}” does not reach the goal on “${targets[target]?.name ?? ''}”. ${reason}`
}

/** The target that takes a set-up longest, from its best site. */
function hardest({ yields, bestSites }: Standing) {
  const chosen = yields.flatMap((bySite, target) => bySite[bestSites[target] ?? 0] ?? [])
  return chosen.reduce((a, b) => ((b.outcome.seconds ?? Infinity) > (a.outcome.seconds ?? Infinity) ? b : a))
}

function explainMoney(standings: readonly Standing[], notes: Notes): void {
  const [best] = standings.filter(({ moneyRank }) => moneyRank === 1)
  if (best === undefined) return
  notes.explain(`“${best.name}” buys most speed for its money.`)
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
      `The sensor of “${name}” goes from ${short(warmest)} to ${short(coldest)} °C over the night: darks taken at its mean are off by up to ${short(left)} electrons in a sub, which dithering hides and matching darks remove.`,
    )
  }
}

function explainMosaics(standings: readonly Standing[], notes: Notes): void {
  const mosaic = standings.some(({ yields }) =>
    yields.flat().some(({ answer }) => answer.channels.some(({ plane }) => plane !== 'mono')),
  )
  if (!mosaic) return
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
  return `“${quick.name}” takes ${spokenSeconds(less)} where “${slow.name}” takes ${spokenSeconds(more)}, ${spokenTimes(more / less)} as long${atWhatPrice(quick, slow, more - less)}.`
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
