import { UpgradesAnswerSchema, upgradesExamples, UpgradesRequestSchema } from '../../contract/upgrades.ts'
import { compareOutcomes, ranksOf } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Request, type Solution } from './solve.ts'
import { interactionOf, judge, moneyRanks, savedHours, snrGain } from './verdicts.ts'
import { explain } from './words.ts'

export const upgrades = question({
  id: 'upgrades',
  path: '/v1/upgrades',
  tag: 'Choosing',
  summary: 'Which change buys the most signal-to-noise ratio for the money?',
  description:
    'A set-up, and changes to it as JSON Merge Patches (RFC 7396) with their prices: a modified filter, another camera, a narrower filter, guiding that allows longer subs, more darks, dithering, a darker site with its travel. For each change: what it gains in a night and in hours to the goal, which noise it attacks, and whether it is worth its money; for each pair, whether they help or overlap; and the best set within a budget, found by looking at every affordable one.',
  bodyLimitBytes: 262144,
  request: UpgradesRequestSchema,
  answer: UpgradesAnswerSchema,
  examples: upgradesExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { base, pairs, bundle } = solution
  const judged = judge(solution, request)
  const ranks = ranksOf(
    judged.map(({ yielded }) => yielded.outcome),
    compareOutcomes,
  )
  const byMoney = moneyRanks(judged, base)
  const nameOf = (index: number) => request.candidates[index]?.name ?? ''
  explain(solution, request, judged, notes)
  return {
    base: base.answer,
    candidates: judged.map(({ yielded, ...it }, index) => ({
      ...it,
      rank: ranks[index] ?? NaN,
      moneyRank: byMoney[index] ?? NaN,
      yields: yielded.answer,
    })),
    ranking: judged
      .map(({ name }, index) => ({ name, rank: byMoney[index] ?? NaN }))
      .sort((a, b) => a.rank - b.rank || (a.name < b.name ? -1 : 1))
      .map(({ name }) => name),
    pairs: pairs.map((pair) => ({
      first: nameOf(pair.first),
      second: nameOf(pair.second),
      ...interactionOf(pair, solution),
    })),
    bundle: {
      names: bundle.members.map(nameOf),
      price: bundle.price,
      hoursSaved: savedHours(base, bundle.yielded),
      snrGain: snrGain(base, bundle.yielded),
      setsLookedAt: bundle.looked,
      yields: bundle.yielded.answer,
    },
    notWorthIt: judged.filter(({ worth }) => worth !== 'worth-it').map(({ name }) => name),
  }
}
