// What master frames leave behind in an extended target, with and without dither. The scatter of 60,000 pixels is known to
// 0.3 %.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { Draws } from './draws.ts'
import { agree } from './agreement.ts'
import { photographPatch } from './extended.ts'
import { randomPatch, requestOf, type Chosen } from './set-ups.ts'

const EFFORT = { blocks: 60_000 }

/** Below the dark current and the read noise, so that darks matter. */
const FAINT = {
  subSeconds: 120,
  skyElectronsPerPixelSecond: 0.05,
  targetElectronsPerPixelSecond: 0.03,
  sensor: { readNoiseElectrons: 4, electronsPerAdu: 1.2, darkElectronsPerPixelSecond: 0.1 },
}
const BRIGHT = { subSeconds: 120, skyElectronsPerPixelSecond: 15, targetElectronsPerPixelSecond: 4 }
const FLATS = { flatFrames: 6, flatElectrons: 20000 }

const CASES: { name: string; atLeast: number; patch: Chosen }[] = [
  { name: 'four darks, no dither', atLeast: 0.5, patch: { ...FAINT, subCount: 12, calibration: { darkFrames: 4 } } },
  {
    name: 'four darks, a position for every three subs',
    atLeast: 0.2,
    patch: { ...FAINT, subCount: 12, calibration: { darkFrames: 4, ditherPositions: 4 } },
  },
  {
    name: 'two darks, six positions for twelve subs',
    atLeast: 0.2,
    patch: { ...FAINT, subCount: 12, calibration: { darkFrames: 2, ditherPositions: 6 } },
  },
  {
    name: 'one dark, two positions for four subs',
    atLeast: 0.4,
    patch: { ...FAINT, subCount: 4, calibration: { darkFrames: 1, ditherPositions: 2 } },
  },
  {
    name: 'one dark, three positions for six subs',
    atLeast: 0.5,
    patch: { ...FAINT, subCount: 6, calibration: { darkFrames: 1, ditherPositions: 3 } },
  },
  {
    name: 'three darks, more positions than subs',
    atLeast: 0.05,
    patch: { ...FAINT, subCount: 6, calibration: { darkFrames: 3, ditherPositions: 40 } },
  },
  {
    name: 'bias frames in place of darks',
    atLeast: 0.1,
    patch: {
      ...FAINT,
      subCount: 10,
      calibration: { biasFrames: 8 },
      sensor: { readNoiseElectrons: 6, electronsPerAdu: 2 },
    },
  },
  {
    name: 'darks, which hold the bias',
    atLeast: 0.4,
    patch: { ...FAINT, subCount: 10, calibration: { biasFrames: 8, darkFrames: 5 } },
  },
  { name: 'six flats, no dither', atLeast: 0.1, patch: { ...BRIGHT, subCount: 10, calibration: FLATS } },
  {
    name: 'six flats, five positions',
    atLeast: 0.02,
    patch: { ...BRIGHT, subCount: 10, calibration: { ...FLATS, ditherPositions: 5 } },
  },
  {
    name: 'darks and flats together, binned on the chip',
    atLeast: 0.1,
    patch: {
      ...BRIGHT,
      subCount: 8,
      calibration: { ...FLATS, darkFrames: 3 },
      sensor: { binning: 2, binningKind: 'on-chip' },
    },
  },
  {
    name: 'darks and flats together, binned in software',
    atLeast: 0.05,
    patch: {
      ...BRIGHT,
      subCount: 4,
      calibration: { ...FLATS, darkFrames: 3 },
      sensor: { binning: 2 },
    },
  },
]

CASES.forEach(({ name, atLeast, patch: chosen }, seed) => {
  void t.test(name, (t) => {
    const draws = new Draws(2000 + seed)
    const patch = randomPatch(draws, chosen)
    const { stack } = noiseBudget.handle(requestOf(patch))
    agree(t, stack, photographPatch(patch, EFFORT, draws), `${patch.subCount} subs`)
    t.ok(stack.shares.calibration > atLeast, `calibration is ${stack.shares.calibration} of the variance`)
    t.end()
  })
})
