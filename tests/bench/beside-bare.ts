// The service beside a bare route in one run: the two take turns, under the same load each time.

import { load, start, stop, type Load, type Run, type Served } from './load.ts'
import { loadPaced } from './paced.ts'

export const KINDS = ['bare', 'ledger'] as const

export type Runs = Record<(typeof KINDS)[number], Run[]>

interface Way {
  name: string
  ask: (served: Served) => Promise<Run>
  runs: Runs
}

/**
 * Loads both one by one at some rates, and then as fast as they answer.
 *
 * @param rates  requests per second
 * @returns the runs of each way of asking, by its name
 */
export async function besideBare(usual: Load, rates: readonly number[], rounds: number): Promise<Map<string, Runs>> {
  const way = (name: string, ask: Way['ask']): Way => ({ name, ask, runs: { bare: [], ledger: [] } })
  const ways = [
    ...rates.map((perSecond) =>
      way(`at ${perSecond} requests a second`, (served) => loadPaced(served, { ...usual, perSecond })),
    ),
    way('flat out', (served) => load(served, usual)),
  ]
  const servers = { bare: await start('bare'), ledger: await start('ledger') }
  for (const kind of KINDS) await load(servers[kind], usual)
  for (let round = 0; round < rounds; round++) {
    for (const { ask, runs } of ways) for (const kind of KINDS) runs[kind].push(await ask(servers[kind]))
  }
  for (const kind of KINDS) await stop(servers[kind])
  return new Map(ways.map(({ name, runs }) => [name, runs]))
}
