// From a set-up and its changes to what each brings, what two bring together, and the best that the budget buys.

import { UpgradedSetupSchema } from '../../contract/compared.ts'
import { refusalsOf } from '../../contract/explain/refusals.ts'
import { ProblemError } from '../../contract/problem.ts'
import { bestBundle, type Bundle } from '../../engine/index.ts'
import { Bench } from '../../setup/comparison-bench.ts'
import { cautionElectrons, pathsDiffer } from '../../setup/comparison-electrons.ts'
import type { UpgradedSetup, UpgradesRequest as Request } from '../../setup/comparison-request.ts'
import { yieldOf, type SetupYield } from '../../setup/comparison-yield.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { canonicalJson, mergePatch } from './merge-patch.ts'

export type { Request }

export interface Together {
  first: number
  second: number
  /** null where they cannot both be made. */
  yielded: SetupYield | null
}

export interface Solution {
  base: SetupYield
  /** Each change on its own, in the order of the request. */
  single: SetupYield[]
  pairs: Together[]
  bundle: Bundle & {
    yielded: SetupYield
    looked: number
    budget: number
    /** The bundle without each of its members. */
    without: Map<number, SetupYield>
  }
  bench: Bench
}

/** What the changes of a request bring. */
export function solve(request: Request, notes: Notes): Solution {
  if (request.goal.per === undefined) {
    notes.assume('/goal/per', 'arcsec2', 'not given: pixels differ from camera to camera')
  }
  refuseTwins(request, notes)
  notes.settle()
  const bench = new Bench(notes)
  const base = yieldFor(request, request.setup, '/setup', bench)
  const workshop = new Workshop(request, bench.quiet())
  const single = singleYields(request, workshop)
  cautionChangedLight(request, workshop, notes)
  const bundle = bundleOf(request, workshop, base, notes)
  notes.cite(
    'Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation',
    'Young 1974, Comm. ACM 17, 530, and Daly 2006, Future Gener. Comput. Syst. 22, 303: losses per interruption',
    'RFC 7396: JSON Merge Patch',
  )
  return { base, single, pairs: pairsOf(request, workshop), bundle, bench }
}

function refuseTwins({ candidates }: Request, notes: Notes): void {
  candidates.forEach(({ name }, index) => {
    const first = candidates.findIndex((other) => other.name === name)
    if (first < index)
      notes.broken(`/candidates/${index}/name`, `“${name}” is the name of /candidates/${first} already`)
  })
}

function yieldFor(request: Request, setup: UpgradedSetup, setupPointer: string, bench: Bench): SetupYield {
  const { site, ...rest } = setup
  const { target, goal, night } = request
  const places = { setup: setupPointer, site: `${setupPointer}/site`, target: '/target' }
  return yieldOf({ setup: rest, site, target, goal, night, places }, bench)
}

/** Makes sets of changes and reckons them; sets that lead to the same set-up are reckoned once. */
class Workshop {
  readonly #request: Request
  readonly #bench: Bench
  readonly #known = new Map<string, SetupYield | null>()
  readonly #exclusive: boolean[][]

  constructor(request: Request, bench: Bench) {
    this.#request = request
    this.#bench = bench
    const { candidates, setup } = request
    const inOrder = (one: number, two: number) =>
      canonicalJson(mergePatch(mergePatch(setup, candidates[one]?.change), candidates[two]?.change))
    this.#exclusive = candidates.map((_, one) => candidates.map((_, two) => inOrder(one, two) !== inOrder(two, one)))
  }

  /** Two changes that overwrite each other cannot both be made. */
  exclusive(one: number, two: number): boolean {
    return this.#exclusive[one]?.[two] ?? false
  }

  /** The set-up that some changes lead to, as JSON that need not keep the contract. */
  changed(members: readonly number[]): unknown {
    const { candidates, setup } = this.#request
    return members.reduce<unknown>((document, member) => mergePatch(document, candidates[member]?.change), setup)
  }

  /** One change on its own. Throws a ProblemError that points into it where it breaks the set-up. */
  single(member: number): SetupYield {
    const document = this.changed([member])
    const place = `/candidates/${member}/change`
    const refusals = refusalsOf(UpgradedSetupSchema, document)
    if (refusals.length > 0) {
      const errors = refusals.map(({ pointer, message }) => ({
        pointer: place + pointer,
        message: `the set-up that this leads to: ${message}`,
      }))
      throw new ProblemError('invalid-request', BREAKS, errors)
    }
    const yielded = yieldFor(this.#request, document as UpgradedSetup, place, this.#bench)
    this.#known.set(canonicalJson(document), yielded)
    return yielded
  }

  /** Several changes together; null where they do not make a set-up. */
  together(members: readonly number[]): SetupYield | null {
    const document = this.changed(members)
    const key = canonicalJson(document)
    const known = this.#known.get(key)
    if (known !== undefined) return known
    const yielded = this.#reckon(document)
    this.#known.set(key, yielded)
    return yielded
  }

  #reckon(document: unknown): SetupYield | null {
    if (!UpgradedSetupSchema.safeParse(document).success) return null
    try {
      return yieldFor(this.#request, document as UpgradedSetup, '/setup', this.#bench)
    } catch (error) {
      if (error instanceof ProblemError) return null
      throw error
    }
  }
}

const BREAKS = 'A change breaks the set-up.'

/** Every change on its own; one problem names all that break the set-up. */
function singleYields({ candidates }: Request, workshop: Workshop): SetupYield[] {
  const problems: ProblemError[] = []
  const yields = candidates.flatMap((_, member) => {
    try {
      return [workshop.single(member)]
    } catch (error) {
      if (!(error instanceof ProblemError)) throw error
      problems.push(error)
      return []
    }
  })
  if (problems.length === 0) return yields
  const kind = problems.find((problem) => problem.kind === 'invalid-request')?.kind ?? 'no-answer'
  throw new ProblemError(
    kind,
    problems.length === 1 ? BREAKS : `${problems.length} changes break the set-up.`,
    problems.flatMap(({ errors }) => errors),
  )
}

/** A brightness in electrons is that of the set-up as it is. */
function cautionChangedLight(request: Request, workshop: Workshop, notes: Notes): void {
  const { setup, candidates, target } = request
  const changed = candidates.flatMap(({ name }, member) => {
    const after = workshop.changed([member]) as UpgradedSetup
    return pathsDiffer([setup, after]) ? [{ name, after }] : []
  })
  const names = changed.map(({ name }) => `“${name}”`).join(', ')
  const who = changed.length === 0 ? 'Its channels differ' : `The set-up and its changes (${names}) differ`
  const setups = [setup, ...changed.map(({ after }) => after)]
  cautionElectrons({ setups, skies: [setup.site.sky], targets: [target] }, who, notes)
}

function pairsOf({ candidates }: Request, workshop: Workshop): Together[] {
  return candidates.flatMap((_, first) =>
    candidates.slice(first + 1).map((_, offset) => {
      const second = first + 1 + offset
      const yielded = workshop.exclusive(first, second) ? null : workshop.together([first, second])
      return { first, second, yielded }
    }),
  )
}

function bundleOf(request: Request, workshop: Workshop, base: SetupYield, notes: Notes): Solution['bundle'] {
  const prices = request.candidates.map(({ price }) => price)
  const all = prices.reduce((sum, price) => sum + price, 0)
  const budget = request.budget ?? notes.assume('/budget', all, 'not given: enough for everything')
  let looked = 0
  const yieldAt = (members: readonly number[]) => (members.length === 0 ? base : workshop.together(members))
  const bundle = bestBundle({
    prices,
    budget,
    exclusive: (one, two) => workshop.exclusive(one, two),
    outcomeOf: (members) => {
      looked++
      return yieldAt(members)?.outcome ?? null
    },
  })
  const members = bundle?.members ?? []
  const nothing: Bundle = { members, price: 0, outcome: base.outcome }
  const without = new Map(
    members.map((member) => [member, yieldAt(members.filter((other) => other !== member)) ?? base] as const),
  )
  return { ...(bundle ?? nothing), yielded: yieldAt(members) ?? base, looked, budget, without }
}

function difference(before: number | null, after: number | null): number | null {
  return before === null || after === null ? null : before - after
}

/** Headline numbers for a request that differs a little, the best bundle kept. */
export function quantities(request: Request, base: Solution): Quantities {
  const bench = base.bench.quiet()
  const workshop = new Workshop(request, bench)
  const start = yieldFor(request, request.setup, '/setup', bench)
  const saved = (yielded: SetupYield | null): number | null =>
    difference(start.answer.totalHours, yielded?.answer.totalHours ?? null)
  const { members } = base.bundle
  return {
    '/base/totalHours': start.answer.totalHours,
    '/base/snrInNight': start.answer.snrInNight,
    '/bundle/hoursSaved': saved(members.length === 0 ? start : workshop.together(members)),
    ...Object.fromEntries(
      request.candidates.map((_, member) => [`/candidates/${member}/hoursSaved`, saved(workshop.together([member]))]),
    ),
  }
}
