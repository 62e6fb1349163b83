// The request as plain numbers, and the rules across its fields.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { SessionCheckRequestSchema } from '../../contract/session-check.ts'
import { valueAt } from '../../engine/index.ts'
import { checkGoal } from '../../setup/goal.ts'
import type { Notes } from '../../setup/notes.ts'
import type { SceneRequest } from '../../setup/scene.ts'
import type { PlanRequest } from '../../setup/plan.ts'
import type { SubTable } from './sub-table.ts'

/** The request, its subs as columns. */
export type Request = Omit<Plain<z.infer<typeof SessionCheckRequestSchema>>, 'subs'> & { subs: SubTable }

export type Goal = NonNullable<Request['goal']>

/** One filter of the session, with what the request says for all of them filled in. */
export interface FilterRequest {
  label: string | null
  scene: Omit<SceneRequest, 'sky'> & { sky?: SceneRequest['sky'] | undefined }
  plan: PlanRequest
  goal: Goal | undefined
  collectedSnr: number
  /** Where the sky of this filter alone would stand. */
  skyPointer: string
  /** Where the request says the lengths to choose from. */
  ladderPointer: string
  /** Where a pointer of the filled-in request leads in the request itself. */
  pointerOf: (pointer: string) => string
}

/** Pointers beyond so many would tell nothing new. */
const MOST_POINTERS = 40

/** The filters of the session: those listed, or the one behind the request’s own filter. */
export function filtersOf(request: Request, notes: Notes): FilterRequest[] {
  const { camera, optics, sky, target, goal, plan = {} } = request
  const ladder = ladderOf(request, plan.subLadderSeconds, notes)
  if (request.filters === undefined) {
    const scene = { camera, optics, filter: request.filter, sky, target }
    const whole = { ...plan, ...(ladder !== undefined && { subLadderSeconds: ladder }) }
    const one = { label: labelInUse(request), scene, plan: whole, goal, collectedSnr: request.collectedSnr ?? 0 }
    checkGoalOf(one, (pointer) => pointer, notes)
    return [
      {
        ...one,
        skyPointer: '/sky',
        ladderPointer: ladderPointer(plan.subLadderSeconds),
        pointerOf: (pointer) => pointer,
      },
    ]
  }
  checkLabels(request, request.filters, notes)
  return request.filters.map((entry, index) => {
    const pointerOf = (pointer: string) => pointerInto(entry, index, pointer)
    const own = entry.subLadderSeconds === undefined ? ladder : ladderOf(request, entry.subLadderSeconds, notes)
    const one = {
      label: entry.label,
      scene: {
        camera,
        optics,
        filter: entry.filter ?? request.filter,
        sky: entry.sky ?? sky,
        target: entry.target ?? target,
      },
      plan: {
        ...plan,
        ...(entry.subSeconds !== undefined && { subSeconds: entry.subSeconds }),
        ...(own !== undefined && { subLadderSeconds: own }),
      },
      goal: entry.goal ?? goal,
      collectedSnr: entry.collectedSnr ?? request.collectedSnr ?? 0,
    }
    checkGoalOf(one, pointerOf, notes)
    return {
      ...one,
      skyPointer: `/filters/${index}/sky`,
      ladderPointer: ladderPointer(entry.subLadderSeconds ?? plan.subLadderSeconds),
      pointerOf,
    }
  })
}

/** Without a ladder of the plan's it is made of the darks. */
function ladderPointer(planned: readonly number[] | undefined): string {
  return planned === undefined ? '/darks' : '/plan/subLadderSeconds'
}

type Entry = NonNullable<Request['filters']>[number]

function pointerInto(entry: Entry, index: number, pointer: string): string {
  const [, name = '', part = ''] = pointer.split('/')
  const own = name === 'plan' ? part : name
  if (entry[own as keyof Entry] !== undefined) {
    return `/filters/${index}/${pointer.slice(name === 'plan' ? '/plan/'.length : 1)}`
  }
  return pointer
}

/** Lengths to choose from: those of the plan for which there are darks, where both are given. */
function ladderOf({ darks }: Request, planned: number[] | undefined, notes: Notes): number[] | undefined {
  if (darks === undefined) return planned === undefined ? undefined : ascending(planned)
  const lengths = darks.map(({ subSeconds }) => subSeconds)
  if (planned === undefined) return ascending(lengths)
  const both = planned.filter((seconds) => lengths.includes(seconds))
  if (both.length === 0) {
    notes.contradictory(
      '/darks',
      `of no length of the ladder (${planned.join(', ')} s); there: ${ascending(lengths).join(', ')} s`,
    )
  }
  return ascending(both.length === 0 ? planned : both)
}

function ascending(lengths: readonly number[]): number[] {
  return [...new Set(lengths)].sort((a, b) => a - b)
}

function checkGoalOf(
  { goal, scene: { target } }: Pick<FilterRequest, 'goal' | 'scene'>,
  pointerOf: (pointer: string) => string,
  notes: Notes,
): void {
  if (goal === undefined) return
  if (target === undefined) notes.missing(pointerOf('/target'), 'a goal needs a target')
  else checkGoal(goal, target, pointerOf('/goal/per'), notes)
}

/** Of a session through one filter: the label of its latest sub; subs of other labels are not this filter's. */
function labelInUse({ subs: { columns, labels } }: Request): string | null {
  if (labels.length === 0) return null
  let inUse = NaN
  let latest = -Infinity
  for (let index = 0; index < columns.filter.length; index++) {
    const filter = valueAt(columns.filter, index)
    const startSeconds = valueAt(columns.startSeconds, index)
    if (Number.isNaN(filter) || startSeconds < latest) continue
    inUse = filter
    latest = startSeconds
  }
  return labels[inUse] ?? null
}

function checkLabels({ subs: { columns, labels } }: Request, entries: readonly Entry[], notes: Notes): void {
  const listed = entries.map(({ label }) => label)
  listed.forEach((label, index) => {
    if (listed.indexOf(label) < index) notes.broken(`/filters/${index}/label`, `“${label}” is there twice`)
  })
  const allowed = `one of ${listed.map((label) => `“${label}”`).join(', ')}`
  let named = 0
  for (let index = 0; index < columns.filter.length; index++) {
    const label = labels[valueAt(columns.filter, index)]
    const isKnown = label === undefined ? listed.length === 1 : listed.includes(label)
    if (isKnown || named === MOST_POINTERS) continue
    named++
    if (label === undefined) notes.missing(`/subs/${index}/filter`, allowed)
    else notes.broken(`/subs/${index}/filter`, `“${label}” is not listed; ${allowed}`)
  }
}
