// Which length of sub gathers the most information (SNR²) in an hour of simulated nights. Each figure is known to about
// half a percent.

import t from 'tap'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { within } from '../support/near.ts'
import { Draws } from './draws.ts'
import { photographSub, type Patch } from './extended.ts'
import { secondsPerKeptSub, type Night } from './nights.ts'
import { randomPatch, requestOf, without, type Chosen } from './set-ups.ts'

const OLD_CCD: Chosen = {
  skyElectronsPerPixelSecond: 0.02,
  targetElectronsPerPixelSecond: 0.05,
  sensor: { readNoiseElectrons: 9, darkElectronsPerPixelSecond: 0.01, electronsPerAdu: 1.5 },
}
const COOLED_CMOS: Chosen = {
  skyElectronsPerPixelSecond: 0.15,
  targetElectronsPerPixelSecond: 0.08,
  sensor: { readNoiseElectrons: 2.5, darkElectronsPerPixelSecond: 0.02, electronsPerAdu: 0.8 },
}

const NIGHTS: { name: string; chosen: Chosen; losses: Omit<Night, 'subSeconds'> }[] = [
  {
    name: 'narrow band, old CCD, found afterwards',
    chosen: OLD_CCD,
    losses: { overheadSeconds: 25, interruptionsPerHour: 1, interruptionCost: 'found-afterwards' },
  },
  {
    name: 'narrow band, old CCD, aborted at once',
    chosen: OLD_CCD,
    losses: { overheadSeconds: 25, interruptionsPerHour: 1, interruptionCost: 'aborted-at-once' },
  },
  {
    name: 'narrow band, cooled CMOS, an unsteady mount',
    chosen: COOLED_CMOS,
    losses: { overheadSeconds: 10, interruptionsPerHour: 4, interruptionCost: 'found-afterwards' },
  },
]

for (const [seed, { name, chosen, losses }] of NIGHTS.entries()) {
  void t.test(name, (t) => {
    const draws = new Draws(9000 + seed)
    const patch = randomPatch(draws, { ...chosen, subSeconds: 1000 })
    const { plan, ...request } = requestOf(patch)
    const open = { ...without(plan ?? {}, 'subSeconds', 'subCount'), ...losses }
    const answer = subExposure.handle({ ...request, plan: open })
    const { fromSeconds, toSeconds } = answer.usefulRange
    const perHour = (subSeconds: number) => informationPerHour({ ...patch, subSeconds }, losses, draws)

    const middle = Math.sqrt(fromSeconds * (toSeconds ?? Infinity))
    const best = Math.max(...[0.1, 0.3, 0.5, 0.7, 0.85, 1, 1.15, 1.4, 2, 4].map((x) => perHour(x * middle)))
    const advised = perHour(answer.recommended.subSeconds) / best
    t.ok(advised > 0.95, `${answer.recommended.subSeconds} s gather ${advised} of the best there is`)
    within(t, answer.informationShare, Math.min(1, advised), 0.015, 'and the answer says so')
    within(t, perHour(fromSeconds) / best, 0.95, 0.015, `share at the short end, ${fromSeconds} s`)
    within(t, perHour(toSeconds ?? Infinity) / best, 0.95, 0.015, `share at the long end, ${toSeconds ?? 'none'} s`)
    t.end()
  })
}

function informationPerHour(patch: Patch, losses: Omit<Night, 'subSeconds'>, draws: Draws): number {
  const { snr } = photographSub(patch, { blocks: 100_000 }, draws)
  return (3600 * snr ** 2) / secondsPerKeptSub({ ...losses, subSeconds: patch.subSeconds }, draws)
}
