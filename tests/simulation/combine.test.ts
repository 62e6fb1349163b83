// Stacks by median and clipped mean. The scatter of 80,000 pixels is known to 0.25 %.

import t, { type Test } from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { Draws } from './draws.ts'
import { agree } from './agreement.ts'
import type { Combine } from './combine.ts'
import { photographPatch, type Patch } from './extended.ts'
import { randomPatch, requestOf } from './set-ups.ts'

const EFFORT = { blocks: 80_000 }

/** Numbers finer than the noise: a median of numbers coarser than that is one of a few steps. */
const FINE = { readNoiseElectrons: 3, electronsPerAdu: 0.7 }

const FAINT = {
  subSeconds: 120,
  skyElectronsPerPixelSecond: 0.1,
  targetElectronsPerPixelSecond: 0.05,
  sensor: { ...FINE, darkElectronsPerPixelSecond: 0.15 },
}

const STACKS: [Combine, number][] = [
  ['median', 3],
  ['median', 4],
  ['median', 5],
  ['median', 7],
  ['median', 9],
  ['median', 20],
  ['clipped-mean', 8],
  ['clipped-mean', 14],
  ['clipped-mean', 30],
]

STACKS.forEach(([combine, subCount], seed) => {
  void t.test(`${combine} of ${subCount} subs of a random set-up`, (t) => {
    const draws = new Draws(3000 + seed)
    compare(t, randomPatch(draws, { combine, subCount, sensor: FINE }), draws)
    t.end()
  })
})

void t.test('a median does not see an error that every sub carries', (t) => {
  const draws = new Draws(3100)
  const calibration = { darkFrames: 3 }
  const stack = compare(t, randomPatch(draws, { combine: 'median', subCount: 9, calibration, ...FAINT }), draws)
  t.ok(stack.shares.calibration > 0.3, 'calibration matters here')
  t.end()
})

void t.test('a median of subs that all stand elsewhere takes calibration as it takes any noise', (t) => {
  const draws = new Draws(3200)
  const calibration = { darkFrames: 2, ditherPositions: 9 }
  const stack = compare(t, randomPatch(draws, { combine: 'median', subCount: 9, calibration, ...FAINT }), draws)
  t.ok(stack.shares.calibration > 0.1, 'calibration matters here')
  t.end()
})

void t.test('a clipped mean over five positions', (t) => {
  const draws = new Draws(3300)
  const calibration = { darkFrames: 3, ditherPositions: 5 }
  compare(t, randomPatch(draws, { combine: 'clipped-mean', subCount: 20, calibration, ...FAINT }), draws)
  t.end()
})

function compare(t: Test, patch: Patch, draws: Draws) {
  const { stack } = noiseBudget.handle(requestOf(patch))
  agree(t, stack, photographPatch(patch, EFFORT, draws), `${patch.subCount} subs`)
  return stack
}
