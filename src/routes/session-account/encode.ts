// The account in the contract's terms.

import type { Notes } from '../../setup/notes.ts'
import { spokenTime } from '../../setup/spoken-time.ts'
import type { Work } from '../../setup/work.ts'
import { encodeFilter } from './encode-filter.ts'
import type { Request } from './filter-requests.ts'
import { heldBackTotals } from './held-back.ts'
import type { Solution } from './solve.ts'
import type { NightTally } from './tally.ts'
import { REMARK_WORDS } from './remark-words.ts'
import { explainAccount } from './words.ts'

/** The answer, its sentences in the notes. */
export function* encode(solution: Solution, notes: Notes, request: Request): Work<ReturnType<typeof bodyOf>> {
  const filters = []
  for (const account of solution.accounts) {
    filters.push(encodeFilter(account, solution.log.reasons.list, request.everySub === true))
    yield
  }
  return bodyOf(solution, filters, notes)
}

function bodyOf(solution: Solution, filters: ReturnType<typeof encodeFilter>[], notes: Notes) {
  const heldBack = heldBackTotals(solution.accounts, solution.log.reasons.list)
  explainAccount(solution, heldBack, notes)
  return {
    heldBackMost: heldBack[0]?.factor ?? null,
    heldBack,
    filters,
    interruptions: encodeInterruptions(solution),
    nights: solution.nights.map(encodeNight),
    log: encodeLog(solution),
  }
}

function encodeLog({ log, usedCount, remarks }: Solution) {
  const { bad } = log
  return {
    lineCount: log.lineCount,
    usedCount,
    badLineCount: bad.count,
    badLines: bad.messages,
    furtherBadLines: bad.further,
    remarks: remarks.said(REMARK_WORDS),
  }
}

/** More than this no plan takes. */
const MOST_PER_HOUR = 3600

function encodeInterruptions({ interruptions }: Solution) {
  const { count, watchedSeconds, perHour, oneSigma, ninetyFivePercent, expected } = interruptions
  return {
    count,
    watchedSeconds,
    perHour,
    interval68: oneSigma,
    interval95: ninetyFivePercent,
    plan:
      expected === null || expected.perHour > MOST_PER_HOUR
        ? null
        : { interruptionsPerHour: { value: expected.perHour, standardUncertainty: expected.standardUncertainty } },
  }
}

function encodeNight({ startSeconds, endSeconds, ...tally }: NightTally) {
  return {
    startedAt: spokenTime(startSeconds),
    endedAt: spokenTime(endSeconds),
    clockSeconds: endSeconds - startSeconds,
    ...tally,
  }
}
