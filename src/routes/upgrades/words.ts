// The upgrades in sentences.

import type { GainPart } from '../../engine/index.ts'
import { spokenLimit, spokenTime } from '../../setup/comparison-words.ts'
import type { Notes } from '../../setup/notes.ts'
import { short } from '../../setup/words.ts'
import type { Request, Solution } from './solve.ts'
import { interactionOf, snrGain, type Judged } from './verdicts.ts'

const PART_WORDS: Record<GainPart, string> = {
  signal: 'more light of the target',
  sky: 'less sky beside it',
  dark: 'less dark current',
  read: 'less read noise',
  quantization: 'less rounding to whole ADU',
  calibration: 'better calibration',
  'dead-time': 'less of the clock lost',
}

/** Writes the explanation into the notes. */
export function explain(solution: Solution, request: Request, judged: readonly Judged[], notes: Notes): void {
  const { base } = solution
  notes.explain(
    base.answer.reachable
      ? `As it is the set-up takes ${spokenTime(base)} to the goal.`
      : `As it is the set-up does not reach the goal. ${base.answer.reason ?? ''}`,
  )
  const limit = spokenLimit(base, 'It')
  if (limit !== undefined) notes.explain(limit)
  for (const { reason, attacks, worth } of judged) {
    const [first] = attacks
    const isGain = worth !== 'harm' && worth !== 'no-gain'
    notes.explain(
      first === undefined || !isGain ? reason : `${reason} What it brings is mostly ${PART_WORDS[first.part]}.`,
    )
  }
  explainPairs(solution, request, notes)
  explainBundle(solution, request, notes)
}

/** So many pairs are worth a sentence; the answer holds them all. */
const MOST_PAIRS = 3

function explainPairs(solution: Solution, { candidates }: Request, notes: Notes): void {
  const pairs = solution.pairs.map((pair) => ({
    names: `“${candidates[pair.first]?.name ?? ''}” and “${candidates[pair.second]?.name ?? ''}”`,
    ...interactionOf(pair, solution),
  }))
  for (const { names, effect } of pairs) if (effect === 'exclusive') notes.explain(`${names} cannot both be made.`)
  const strength = ({ interaction }: (typeof pairs)[number]) => Math.abs(Math.log(interaction ?? 1))
  const strongest = pairs.sort((a, b) => strength(b) - strength(a)).slice(0, MOST_PAIRS)
  for (const { names, effect } of strongest) {
    if (effect === 'reinforce')
      notes.explain(`${names} help each other: together they gain more than each alone would suggest.`)
    if (effect === 'overlap') notes.explain(`${names} overlap: together they gain less than each alone would suggest.`)
  }
}

function explainBundle({ base, bundle }: Solution, { candidates }: Request, notes: Notes): void {
  const { members, price, yielded, looked } = bundle
  if (members.length === 0) {
    notes.explain('Nothing that can be afforded is better than leaving the set-up as it is.')
    return
  }
  const names = members.map((member) => `“${candidates[member]?.name ?? ''}”`).join(', ')
  const gain = snrGain(base, yielded)
  const times = gain === null ? '' : `, a night then yielding ${short(gain)} times the ratio`
  const way = yielded.answer.reachable ? `${spokenTime(yielded)} to the goal` : 'still short of the goal'
  notes.explain(`Of ${looked} affordable sets of changes the best is ${names} for ${short(price)}: ${way}${times}.`)
}
