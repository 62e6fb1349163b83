// The filters of a request, each with what the entry of its own says and what holds for all.

import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { SessionAccountRequestSchema } from '../../contract/session-account.ts'
import type { Places } from '../../setup/comparison-bench.ts'
import { channelName } from '../../setup/comparison-request.ts'
import type { Notes } from '../../setup/notes.ts'
import type { TargetRequest } from '../../setup/scene.ts'

export type Request = Omit<Plain<z.infer<typeof SessionAccountRequestSchema>>, 'subs'>
export type GoalRequest = NonNullable<Request['goal']>

/** A filter as the request names it, and where its parts stand there. */
export interface FilterRequest {
  label: string | null
  name: string
  filter: Request['filter']
  sky: Request['sky']
  target: TargetRequest | undefined
  goal: GoalRequest | undefined
  places: Places
  goalPointer: string
}

/** The filters of a request; one without a label where the log has only one, by whatever name. */
export function filtersOf(request: Request, logged: readonly string[], notes: Notes): FilterRequest[] {
  const { filters, filter, sky, target, goal } = request
  if (filters === undefined) {
    const places = { setup: '', filter: '/filter', site: '', light: '/target' }
    if (target === undefined) notes.missing('/target', 'without a target there is no signal to account')
    if (logged.length > 1) {
      const shown = logged.slice(0, 8).map((name) => JSON.stringify(name))
      notes.missing('/filters', `the log names ${logged.length} filters (${shown.join(', ')}); give an entry for each`)
    }
    const [name = channelName({ filter })] = logged
    return [{ label: null, name, filter, sky, target, goal, places, goalPointer: '/goal' }]
  }
  if (filter !== undefined) notes.broken('/filter', 'stands beside `filters`; give one of the two')
  return filters.map((entry, index) => {
    const own = `/filters/${index}`
    if (filters.findIndex(({ label }) => label === entry.label) < index) {
      notes.broken(`${own}/label`, `${JSON.stringify(entry.label)} is the label of an entry before`)
    }
    if ((entry.target ?? target) === undefined) notes.missing(`${own}/target`, 'give it here, or for all filters')
    return {
      label: entry.label,
      name: entry.label,
      filter: entry.filter,
      sky: entry.sky ?? sky,
      target: entry.target ?? target,
      goal: entry.goal ?? goal,
      places: {
        setup: '',
        filter: `${own}/filter`,
        site: entry.sky === undefined ? '' : own,
        light: entry.target === undefined ? '/target' : `${own}/target`,
      },
      goalPointer: entry.goal === undefined ? '/goal' : `${own}/goal`,
    }
  })
}
