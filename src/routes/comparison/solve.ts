// From a plain request to every set-up on every target from every site, and the set-ups in order.

import { ProblemError } from '../../contract/problem.ts'
import {
  compareForMoney,
  compareOutcomes,
  ranksOf,
  secondsSavedPerMoney,
  type Outcome,
  type PricedOutcome,
} from '../../engine/index.ts'
import { Bench } from '../../setup/comparison-bench.ts'
import { cautionElectrons } from '../../setup/comparison-electrons.ts'
import { frameOf, type Frame } from '../../setup/comparison-frame.ts'
import type { ComparisonRequest as Request } from '../../setup/comparison-request.ts'
import { yieldOf, type SetupYield } from '../../setup/comparison-yield.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'

export type { Request }

export interface Standing {
  name: string
  price: number | null
  /** By target, then by site. */
  yields: SetupYield[][]
  /** Over all targets, each from its best site. */
  outcome: Outcome
  /** Index of that site for each target; null where none reaches the goal. */
  bestSites: (number | null)[]
  frame: Frame
  rank: number
  moneyRank: number | null
  secondsSavedPerMoney: number | null
  dominatedBy: string | null
}

export interface Solution {
  standings: Standing[]
  bench: Bench
}

/** Every set-up of a request, in the order of the request, with its ranks. */
export function solve(request: Request, notes: Notes): Solution {
  const goal = request.goal
  if (goal.per === undefined) notes.assume('/goal/per', 'arcsec2', 'not given: pixels differ from set-up to set-up')
  refuseTwins(request, notes)
  notes.settle()
  const { setups, skies, targets } = request
  cautionElectrons({ setups, skies: skies.map(({ sky }) => sky), targets }, 'The set-ups or channels differ', notes)
  const bench = new Bench(notes)
  const yields = allYields(request, bench)
  notes.cite(
    'Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation',
    'Young 1974, Comm. ACM 17, 530, and Daly 2006, Future Gener. Comput. Syst. 22, 303: losses per interruption',
  )
  return { standings: standingsOf(request, yields, notes), bench }
}

/** Names tell the set-ups apart in the answer. */
function refuseTwins(request: Request, notes: Notes): void {
  for (const list of ['setups', 'targets', 'skies'] as const) {
    request[list].forEach(({ name }, index) => {
      const first = request[list].findIndex((other) => other.name === name)
      if (first < index) notes.broken(`/${list}/${index}/name`, `“${name}” is the name of /${list}/${first} already`)
    })
  }
}

/** By set-up, target and site. Throws one problem that names the bad fields of all set-ups. */
function allYields(request: Request, bench: Bench): SetupYield[][][] {
  const problems: ProblemError[] = []
  const attempt = (setup: number, target: number, site: number): SetupYield[] => {
    try {
      return [yieldAt(request, { setup, target, site }, bench)]
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error
      problems.push(error)
      return []
    }
  }
  const yields = request.setups.map((_, setup) =>
    request.targets.map((_, target) => request.skies.flatMap((_, site) => attempt(setup, target, site))),
  )
  if (problems.length > 0) throw joined(problems)
  return yields
}

function yieldAt(request: Request, at: { setup: number; target: number; site: number }, bench: Bench): SetupYield {
  const { setups, targets, skies, goal, night } = request
  const setup = setups[at.setup]
  const target = targets[at.target]
  const site = skies[at.site]
  if (setup === undefined || target === undefined || site === undefined) throw new RangeError('no such row')
  const places = { setup: `/setups/${at.setup}`, target: `/targets/${at.target}`, site: `/skies/${at.site}` }
  return yieldOf({ setup, target, site, goal, night, places }, bench)
}

function joined(problems: readonly ProblemError[]): ProblemError {
  const errors = new Map(problems.flatMap((problem) => problem.errors).map((error) => [JSON.stringify(error), error]))
  const kind = problems.find((problem) => problem.kind === 'invalid-request')?.kind ?? 'no-answer'
  const fields = errors.size === 1 ? 'One field stands' : `${errors.size} fields stand`
  return new ProblemError(kind, `${fields} in the way of an answer.`, [...errors.values()])
}

function standingsOf(request: Request, yields: readonly SetupYield[][][], notes: Notes): Standing[] {
  const totals = yields.map((byTarget) => overall(byTarget))
  const outcomes = totals.map(({ outcome }) => outcome)
  const ranks = ranksOf(outcomes, compareOutcomes)
  const priced = request.setups.flatMap(({ name, price }, index): Priced[] => {
    const outcome = outcomes[index]
    return price === undefined || outcome === undefined ? [] : [{ ...outcome, name, price }]
  })
  const money = priced.length === outcomes.length ? moneyOf(priced) : null
  return request.setups.map((setup, index) => ({
    name: setup.name,
    price: setup.price ?? null,
    yields: yields[index] ?? [],
    outcome: outcomes[index] ?? { seconds: null, nightSnr: 0 },
    bestSites: totals[index]?.bestSites ?? [],
    frame: frameOf(sceneOf(yields[index]), fwhmOf(request, index, notes)),
    rank: ranks[index] ?? NaN,
    moneyRank: money?.ranks[index] ?? null,
    secondsSavedPerMoney: money?.savings[index] ?? null,
    dominatedBy: money?.dominating[index] ?? null,
  }))
}

function sceneOf(byTarget: readonly SetupYield[][] | undefined) {
  return byTarget?.flat().find(({ scene }) => scene !== null)?.scene ?? null
}

function fwhmOf({ setups }: Request, index: number, notes: Notes): number {
  const given = setups[index]?.plan?.fwhmArcsec
  const pointer = `/setups/${index}/plan/fwhmArcsec`
  const said = notes.assumptions.some((assumption) => assumption.pointer === pointer)
  return given ?? (said ? DEFAULT_FWHM_ARCSEC : notes.assume(pointer, DEFAULT_FWHM_ARCSEC, COMMON_PRACTICE))
}

const DEFAULT_FWHM_ARCSEC = 3

/** Each target from the site that is quickest, and all of them together. */
function overall(byTarget: readonly SetupYield[][]): { outcome: Outcome; bestSites: (number | null)[] } {
  let seconds: number | null = 0
  let nightSnr = Infinity
  const bestSites: (number | null)[] = []
  for (const bySite of byTarget) {
    const outcomes = bySite.map(({ outcome }) => outcome)
    const best = outcomes.reduce((a, b) => (compareOutcomes(b, a) < 0 ? b : a))
    bestSites.push(best.seconds === null ? null : outcomes.indexOf(best))
    seconds = seconds === null || best.seconds === null ? null : seconds + best.seconds
    nightSnr = Math.min(nightSnr, best.nightSnr)
  }
  return { outcome: { seconds, nightSnr }, bestSites }
}

interface Priced extends PricedOutcome {
  name: string
}

function moneyOf(priced: readonly Priced[]) {
  const byPrice = (a: PricedOutcome, b: PricedOutcome) => a.price - b.price || compareOutcomes(a, b)
  const cheapest = priced.reduce((a, b) => (byPrice(b, a) < 0 ? b : a))
  const before = (a: Priced, b: Priced) =>
    (compareOutcomes(a, b) || a.price - b.price || (a.name < b.name ? -1 : 1)) < 0
  const dominates = (a: PricedOutcome, b: PricedOutcome) =>
    a.price <= b.price && compareOutcomes(a, b) <= 0 && (a.price < b.price || compareOutcomes(a, b) < 0)
  return {
    ranks: ranksOf(priced, compareForMoney),
    savings: priced.map((it) => secondsSavedPerMoney(cheapest, it)),
    // Of several that dominate it the best one stands for all, whatever their order in the request.
    dominating: priced.map((it) => {
      const better = priced.filter((other) => dominates(other, it))
      const [first, ...others] = better
      return first === undefined ? null : others.reduce((a, b) => (before(b, a) ? b : a), first).name
    }),
  }
}

/** Hours of every set-up for a request that differs a little. */
export function quantities(request: Request, base: Solution): Quantities {
  const bench = base.bench.quiet()
  const yields = allYields(request, bench)
  return Object.fromEntries(
    yields.map((byTarget, index) => {
      const { seconds } = overall(byTarget).outcome
      return [`/setups/${index}/totalHours`, seconds === null ? null : seconds / 3600]
    }),
  )
}
