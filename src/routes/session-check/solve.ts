// From a plain request to what to do next.

import { presentConditions } from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { resolveCamera } from '../../setup/camera.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import { actionOf } from './action.ts'
import { matchingDarks } from './darks.ts'
import { filterSetups, type FilterSetup } from './filter-setup.ts'
import type { FilterSolution } from './filter-solution.ts'
import { lengthOf } from './length.ts'
import { withSkies } from './measured-sky.ts'
import { measuredSubs } from './measured-subs.ts'
import { endOf, paceOf, plannedPace, usualGap } from './pace.ts'
import { progressOf, subsToGoal } from './progress.ts'
import { nothingLeft, remainingOf } from './remaining.ts'
import { filtersOf, type Request } from './request.ts'
import type { Solution } from './solution.ts'
import { stateOf } from './state.ts'

/** What to do next, with defaults and cautions in the notes. */
export function solve(request: Request, notes: Notes): Solution {
  const requests = filtersOf(request, notes)
  const bare = new Notes()
  const camera = resolveCamera(request.camera, { photons: null, scale: null }, bare)
  const log = measuredSubs(request, requests, camera, notes)
  const setups = filterSetups(withSkies(requests, log.subs, camera, notes), usualGap(log.subs), notes)
  notes.settle()
  const minimumGain = request.minimumGain ?? notes.assume('/minimumGain', 0.03, `not given (${COMMON_PRACTICE})`)
  const weights = request.weights ?? notes.assume('/weights', 'optimal', 'not given: each sub by its own worth')
  const state = stateOf(request, setups, log.subs)
  const filters = setups.map((setup, index): FilterSolution => {
    const progress = progressOf(setup, index, state, weights)
    const length = lengthOf(setup, index, state, minimumGain)
    const subs = subsToGoal(setup, index, { state, progress, weights, subSeconds: length.subSeconds })
    return { setup, progress, length, subsToGoal: subs }
  })
  const next = nextFilter(filters, log.subs.filter.at(-1) ?? 0)
  const nowSeconds = log.subs.filter.length === 0 ? null : endOf(log.subs)
  const endSeconds = request.endsAt === undefined ? null : Date.parse(request.endsAt) / 1000
  const gapSeconds = usualGap(log.subs) ?? setups[next]?.losses.overheadSeconds ?? 0
  const action = actionOf({ filters, next, state, nowSeconds, endSeconds, gapSeconds })
  const pace = paceOf(log.subs)
  const held = { filters, next, nowSeconds, endSeconds, subSeconds: action.subSeconds, pace }
  cite(notes)
  cautionAll(setups, notes)
  return {
    log,
    state,
    filters,
    next,
    action,
    remaining: action.name === 'finish' ? nothingLeft(action) : remainingOf(held),
    isPacePlanned: pace === plannedPace,
    conditions: presentConditions(state.course),
    darks: matchingDarks(request, filters[next], state, action.subSeconds, notes),
    weights,
    minimumGain,
    nowSeconds,
    endSeconds,
  }
}

/** The filter in use while it misses its goal, else the first that does; a sub may have gone through none of them. */
function nextFilter(filters: readonly FilterSolution[], inUse: number): number {
  const open = ({ progress }: FilterSolution) => !progress.reached
  const mine = filters[inUse]
  if (mine !== undefined && open(mine)) return inUse
  const other = filters.findIndex(open)
  if (other !== -1) return other
  return mine === undefined ? 0 : inUse
}

function cite(notes: Notes): void {
  notes.cite(
    'Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation',
    'Young 1974, Comm. ACM 17, 530, and Daly 2006, Future Gener. Comput. Syst. 22, 303: losses per interruption',
  )
}

function cautionAll([first]: readonly FilterSetup[], notes: Notes): void {
  if (first !== undefined) cautionSetup(first.scene, notes)
}

/** The headline numbers with the advised lengths kept, counts as real numbers. */
export function quantities(request: Request, base: Solution): Quantities {
  const { filters, state, log } = solve(request, new Notes())
  const pace = paceOf(log.subs)
  const found: Quantities = {}
  const sum = { integrationSeconds: 0, clockSeconds: 0 }
  let known = base.remaining?.setBy === 'goal'
  filters.forEach(({ setup, progress }, index) => {
    const subSeconds = base.filters[index]?.length.subSeconds ?? setup.planSeconds
    const count = subsToGoal(setup, index, { state, progress, weights: base.weights, subSeconds })
    known &&= count !== null
    sum.integrationSeconds += (count ?? 0) * subSeconds
    sum.clockSeconds += (count ?? 0) * pace(subSeconds, setup.losses)
    found[`/filters/${index}/snr`] = progress.snr
  })
  const next = filters[base.next]
  found['/snr'] = next?.progress.snr
  found['/gain'] = next?.length.gain
  if (known) {
    found['/remaining/integrationSeconds'] = sum.integrationSeconds
    found['/remaining/clockSeconds'] = sum.clockSeconds
  }
  return found
}
