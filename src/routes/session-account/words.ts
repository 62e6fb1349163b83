// The account in sentences.

import type { Notes } from '../../setup/notes.ts'
import { short, spokenSeconds } from '../../setup/words.ts'
import { explainFilter } from './filter-words.ts'
import type { HeldBackTotal } from './held-back.ts'
import { REMARK_SENTENCES, REMARK_WORDS } from './remark-words.ts'
import type { Solution } from './solve.ts'

/** All the sentences of an answer. */
export function explainAccount(solution: Solution, heldBack: readonly HeldBackTotal[], notes: Notes): void {
  explainLog(solution, notes)
  if (solution.usedCount > 0) explainNights(solution, notes)
  explainRemarks(solution, notes)
  for (const account of solution.accounts) explainFilter(account, notes)
  explainHeldBack(solution, heldBack, notes)
  explainInterruptions(solution, notes)
}

function explainLog({ log }: Solution, notes: Notes): void {
  const { bad, lineCount } = log
  if (lineCount === 0) notes.explain('The log is empty: nothing was collected yet.')
  else if (bad.count === lineCount) notes.explain('No line of the log can be used; `log.badLines` says why.')
  else if (bad.count > 0) {
    notes.explain(
      `${bad.count} of ${lineCount} lines cannot be used: \`log.badLines\` names them. The rest is accounted; their time counts as idle.`,
    )
  }
}

function explainNights({ nights, usedCount }: Solution, notes: Notes): void {
  const clock = nights.reduce((sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds, 0)
  const accepted = nights.reduce((sum, { subCount }) => sum + subCount, 0)
  const count = nights.length === 1 ? 'One night' : `${nights.length} nights`
  const subs = usedCount === 1 ? 'one sub' : `${usedCount} subs`
  const all =
    accepted === usedCount
      ? usedCount === 1
        ? 'accepted'
        : 'all accepted'
      : accepted === 0
        ? 'none accepted'
        : `${accepted} of them accepted`
  notes.explain(`${count}, ${spokenSeconds(clock)} on the clock: ${subs}, ${all}.`)
}

function explainRemarks({ remarks, usedCount }: Solution, notes: Notes): void {
  for (const { kind, subCount } of remarks.said(REMARK_WORDS)) {
    const sentence = REMARK_SENTENCES[kind]
    if (sentence !== null) notes.explain(sentence(subCount))
    else if (subCount < usedCount) continue
    else if (kind === 'no-background')
      notes.explain('The log says nothing of the background; the reference sky stands in.')
    else notes.explain('The log says nothing of the star flux; every sub counts as clear.')
  }
}

function explainHeldBack({ usedCount }: Solution, [most]: readonly HeldBackTotal[], notes: Notes): void {
  if (most !== undefined) notes.explain(most.explanation)
  else if (usedCount > 0) notes.explain('Nothing held the session back that the log could tell.')
}

function explainInterruptions({ interruptions }: Solution, notes: Notes): void {
  const { perHour, ninetyFivePercent: it, count, expected, watchedSeconds } = interruptions
  if (perHour === null || it === null) return
  notes.explain(
    count === 0
      ? `No interruption in the log; up to ${short(it.to)} an hour fit with that (95 %).`
      : `${count === 1 ? 'One interruption' : `${count} interruptions`}: ${short(perHour)} an hour, somewhere from ${short(it.from)} to ${short(it.to)} (95 %).`,
  )
  notes.explain(
    expected === null
      ? `${spokenSeconds(watchedSeconds)} of watching are too short to plan by, so there is no rate to send back.`
      : `For the next plan, \`interruptions.plan\` takes ${short(expected.perHour)} an hour.`,
  )
}
