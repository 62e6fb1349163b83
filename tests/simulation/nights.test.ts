// Nights with interruptions, played on the clock: how long a number of good subs takes, and what they reach, and
// what no number of them can pass.

import t from 'tap'
import { integrationTime } from '../../src/routes/integration-time/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { TOLERANCE } from './agreement.ts'
import { photographPatch, photographSub } from './extended.ts'
import { secondsPerKeptSub, type Night } from './nights.ts'
import { between, logBetween, randomPatch, requestOf, without } from './set-ups.ts'

const COSTS = ['found-afterwards', 'aborted-at-once'] as const

COSTS.forEach((interruptionCost, kind) => {
  for (const seed of [0, 1, 2]) {
    void t.test(`clock time of a random session, interruptions ${interruptionCost} (${seed})`, (t) => {
      const draws = new Draws(8000 + 10 * kind + seed)
      const patch = randomPatch(draws, { subSeconds: logBetween(draws, 60, 1800) })
      const night: Night = {
        subSeconds: patch.subSeconds,
        overheadSeconds: between(draws, 2, 60),
        interruptionsPerHour: logBetween(draws, 0.3, 3),
        interruptionCost,
      }
      const { plan, ...request } = requestOf(patch)
      const session = { ...without(plan ?? {}, 'subCount'), ...night }
      const answer = integrationTime.handle({
        ...request,
        target: request.target ?? {},
        plan: session,
        goal: { snr: 3 * photographSub(patch, { blocks: 20_000 }, draws).snr, per: 'pixel' },
      })
      const subCount = answer.subCount ?? 0
      const clock = subCount * secondsPerKeptSub(night, draws)
      near(t, answer.clockSeconds ?? 0, clock, TOLERANCE, `${subCount} subs of ${patch.subSeconds} s`)
      const reached = photographPatch({ ...patch, subCount }, { blocks: 80_000 }, draws).snr
      near(t, answer.reachedSnr ?? 0, reached, TOLERANCE, 'what they reach')
      t.end()
    })
  }
})

void t.test('the ceiling is what very many subs come to', (t) => {
  const draws = new Draws(8200)
  const patch = randomPatch(draws, {
    subCount: 250,
    subSeconds: 60,
    skyElectronsPerPixelSecond: 0.1,
    targetElectronsPerPixelSecond: 0.05,
    sensor: { readNoiseElectrons: 6, electronsPerAdu: 1.5, darkElectronsPerPixelSecond: 0.4 },
    calibration: { darkFrames: 1 },
  })
  const { target = {}, ...request } = requestOf(patch)
  const { ceilingSnr, reachable } = integrationTime.handle({ ...request, target, goal: { snr: 2, per: 'pixel' } })
  t.equal(reachable, false)
  near(t, ceilingSnr ?? 0, photographPatch(patch, { blocks: 30_000 }, draws).snr, TOLERANCE, '250 subs, one dark')
  t.end()
})
