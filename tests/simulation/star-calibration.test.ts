// What master frames leave behind in a star. The scatter of 52,000 measurements is known to 0.32 %.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { Draws } from './draws.ts'
import { agree } from './agreement.ts'
import { photographStar } from './star.ts'
import { randomStar, starRequestOf, type ChosenStar } from './star-set-ups.ts'

const EFFORT = { gridSide: 24, repeats: 90 }

const FAINT = {
  subSeconds: 100,
  skyElectronsPerPixelSecond: 0.1,
  sensor: { readNoiseElectrons: 4, electronsPerAdu: 1.2, darkElectronsPerPixelSecond: 0.1 },
}
const BRIGHT = { subSeconds: 100, skyElectronsPerPixelSecond: 20 }
const FLATS = { flatFrames: 2, flatElectrons: 20000 }

const CASES: Record<string, { atLeast: number; star: ChosenStar }> = {
  'three darks, no dither': {
    atLeast: 0.1,
    star: {
      profile: { fwhmPx: 2 },
      ...FAINT,
      subCount: 3,
      starElectrons: 1000,
      backgroundPixels: 8,
      calibration: { darkFrames: 3 },
    },
  },
  'two darks, two positions for four subs': {
    atLeast: 0.05,
    star: {
      profile: { fwhmPx: 2, moffatBeta: 4 },
      ...FAINT,
      subCount: 4,
      starElectrons: 1000,
      backgroundPixels: 8,
      calibration: { darkFrames: 2, ditherPositions: 2 },
    },
  },
  'flats under a bright star': {
    atLeast: 0.2,
    star: { profile: { fwhmPx: 2 }, ...FAINT, subCount: 3, starElectrons: 150_000, calibration: FLATS },
  },
  'flats under an undersampled star': {
    atLeast: 0.2,
    star: {
      profile: { fwhmPx: 1.3 },
      ...FAINT,
      subCount: 4,
      starElectrons: 100_000,
      apertureRadiusPx: 1.6,
      calibration: FLATS,
    },
  },
  'flats in a narrow aperture': {
    atLeast: 0.1,
    star: {
      profile: { fwhmPx: 3 },
      ...FAINT,
      subCount: 3,
      starElectrons: 150_000,
      apertureRadiusPx: 1.3,
      calibration: FLATS,
    },
  },
  'flats under a bright sky, background from 8 pixels': {
    atLeast: 0.05,
    star: {
      profile: { fwhmPx: 2 },
      ...BRIGHT,
      subCount: 4,
      starElectrons: 1000,
      backgroundPixels: 8,
      calibration: FLATS,
    },
  },
  'flats under a star as bright as the sky below it': {
    atLeast: 0.1,
    star: { profile: { fwhmPx: 2 }, ...BRIGHT, subCount: 4, starElectrons: 40_000, calibration: FLATS },
  },
  'flats and darks, two positions': {
    atLeast: 0.1,
    star: {
      profile: { fwhmPx: 2 },
      ...BRIGHT,
      subCount: 6,
      starElectrons: 40_000,
      calibration: { ...FLATS, darkFrames: 4, ditherPositions: 2 },
    },
  },
}

Object.entries(CASES).forEach(([name, { atLeast, star: chosen }], seed) => {
  void t.test(name, (t) => {
    const draws = new Draws(5000 + seed)
    const field = randomStar(draws, chosen)
    const { star } = noiseBudget.handle(starRequestOf(field))
    if (star === undefined) return t.fail('there is a star')
    agree(t, star.stack, photographStar(field, EFFORT, draws), `${field.subCount} subs`)
    t.ok(star.stack.shares.calibration > atLeast, `calibration is ${star.stack.shares.calibration} of the variance`)
    t.end()
  })
})
