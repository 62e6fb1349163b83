import { ComparisonAnswerSchema, comparisonExamples, ComparisonRequestSchema } from '../../contract/comparison.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Request, type Solution, type Standing } from './solve.ts'
import { explain, pairsOf, ranked } from './words.ts'

export const comparison = question({
  id: 'comparison',
  path: '/v1/comparison',
  tag: 'Choosing',
  summary: 'Which set-up gets there first?',
  description:
    'Two to twelve set-ups on the same targets, from the same sites, up to the same signal-to-noise ratio. For each: hours on the clock with dead time, spoiled subs, filter changes, focusing and travel; the noise that holds it back; what one night yields per square arcsecond; field, sampling and data volume; and what an hour saved costs. Time is split over the channels so that the one furthest from its goal is as near to it as can be. A mosaic and a mono sensor are held to the same ratio in every colour. A set-up that never gets there is answered with `reachable: false` and the reason.',
  bodyLimitBytes: 262144,
  request: ComparisonRequestSchema,
  answer: ComparisonAnswerSchema,
  examples: comparisonExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { standings } = solution
  explain(solution, request, notes)
  return {
    ranking: ranked(standings).map(({ name }) => name),
    setups: standings.map((standing) => summaryOf(standing, request)),
    rows: standings.flatMap(({ name, yields }) =>
      yields.flatMap((bySite, target) =>
        bySite.map(({ answer }, site) => ({
          setup: name,
          target: request.targets[target]?.name ?? '',
          sky: request.skies[site]?.name ?? '',
          ...answer,
        })),
      ),
    ),
    pairs: pairsOf(standings),
  }
}

function summaryOf(standing: Standing, { skies }: Request) {
  const { name, price, outcome, bestSites, rank, moneyRank, dominatedBy, frame, yields } = standing
  const perMoney = standing.secondsSavedPerMoney
  return {
    name,
    price,
    reachesAll: outcome.seconds !== null,
    totalHours: outcome.seconds === null ? null : outcome.seconds / 3600,
    bestSkies: bestSites.map((site) => (site === null ? null : (skies[site]?.name ?? null))),
    rank,
    moneyRank,
    hoursSavedPerMoney: perMoney === null ? null : perMoney / 3600,
    dominatedBy,
    ...frame,
    sensor: yields.flat().find(({ sensor }) => sensor !== null)?.sensor ?? null,
  }
}
