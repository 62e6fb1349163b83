// From a plain request and its log to the account.

import { interruptionRate, type InterruptionRate } from '../../engine/index.ts'
import { cautionSetup } from '../../setup/cautions.ts'
import { Bench } from '../../setup/comparison-bench.ts'
import type { Quantities } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import type { Work } from '../../setup/work.ts'
import { accountOf, stackedOf, type FilterAccount } from './account.ts'
import { fileLog, type FiledLog } from './filing.ts'
import { filtersOf, type FilterRequest, type Request } from './filter-requests.ts'
import { resolveFilterSetup, type FilterSetup } from './filters.ts'
import { itemAt } from './item-at.ts'
import { learntSetups } from './learnt.ts'
import { BadLines } from './log/bad-lines.ts'
import type { SubLog } from './log/sub-log.ts'
import { filterLogOf, measure } from './measure.ts'
import type { FilterLog } from './measured.ts'
import { Remarks } from './remarks.ts'
import { rowsOf } from './rows.ts'
import { tallyOf, watchedSubs, type NightTally } from './tally.ts'

export interface Solution {
  log: SubLog
  remarks: Remarks
  /** Lines that could be used. */
  usedCount: number
  nights: NightTally[]
  accounts: FilterAccount[]
  interruptions: InterruptionRate
  filed: FiledLog
  logs: FilterLog[]
}

/** What a log yields, with defaults and cautions in the notes. */
export function* solve(request: Request, log: SubLog, notes: Notes): Work<Solution> {
  const filters = filtersOf(request, log.filters.list, notes)
  notes.settle()
  const remarks = new Remarks()
  const filed = yield* fileLog(
    log,
    filters.map(({ label }) => label),
    remarks,
  )
  const logs: FilterLog[] = []
  for (const filter of filters.keys()) {
    logs.push(filterLogOf(filed, filter))
    yield
  }
  const setups = setupsOf(request, filters, logs, null, notes)
  const { subs, places } = yield* measure(request, filed, setups, { remarks, bad: log.bad }, notes)
  const rows = yield* rowsOf(filed, places, remarks)
  const tallies = yield* tallyOf(
    rows,
    subs.map(({ count }) => count),
    log.reasons.list,
  )
  const interruptions = interruptionRate(watchedSubs(rows), request.plan?.interruptionCost ?? 'found-afterwards')
  yield
  const accounts: FilterAccount[] = []
  for (const [index, setup] of learntSetups(request, setups, interruptions, notes).entries()) {
    accounts.push(yield* accountOf(setup, itemAt(subs, index), itemAt(tallies.filters, index), filed.memory))
  }
  const [first] = setups
  if (first !== undefined) cautionSetup(first.scene, notes)
  notes.cite(
    'Merline & Howell 1995, Exp. Astron. 6, 163: CCD equation',
    'Garwood 1936, Biometrika 28, 437: interval of a Poisson mean',
    'Jeffreys 1946, Proc. R. Soc. Lond. A 186, 453: prior of a rate',
  )
  if (setups.some(({ combine }) => combine !== 'mean')) {
    notes.cite('Bassett & Koenker 1978, JASA 73, 618: a median of subs that differ')
  }
  return { log, remarks, usedCount: places.length, nights: tallies.nights, accounts, interruptions, filed, logs }
}

function setupsOf(
  request: Request,
  filters: readonly FilterRequest[],
  logs: readonly FilterLog[],
  kept: readonly FilterSetup[] | null,
  notes: Notes,
): FilterSetup[] {
  const bench = new Bench(notes)
  return filters.map((filter, index) => {
    const { apertureRadiusArcsec, reference } = kept?.[index] ?? {}
    const its =
      reference === undefined ? request : { ...request, plan: { ...request.plan, subSeconds: reference.subSeconds } }
    return resolveFilterSetup(its, filter, itemAt(logs, index), apertureRadiusArcsec, bench)
  })
}

/** The headline numbers with reference lengths and apertures kept. */
export function* quantities(request: Request, base: Solution): Work<Quantities> {
  const { memory } = base.filed
  const before = memory.usedBytes
  try {
    return yield* headlines(request, base)
  } finally {
    memory.backTo(before)
  }
}

function* headlines(request: Request, { log, filed, logs, accounts }: Solution): Work<Quantities> {
  const kept = accounts.map(({ setup }) => setup)
  const notes = new Notes()
  const setups = setupsOf(request, filtersOf(request, log.filters.list, notes), logs, kept, notes)
  const aside = { remarks: new Remarks(), bad: new BadLines(true) }
  const { subs } = yield* measure(request, filed, setups, aside, notes)
  const all: Quantities = {}
  for (const [index, setup] of setups.entries()) {
    yield
    const { weightedSnr, equalSnr, effectiveSeconds } = stackedOf(setup, itemAt(subs, index), filed.memory)
    all[`/filters/${index}/weighted/snr`] = weightedSnr * setup.scale
    all[`/filters/${index}/equal/snr`] = equalSnr * setup.scale
    all[`/filters/${index}/effectiveSeconds`] = effectiveSeconds
  }
  return all
}
