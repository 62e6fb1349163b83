// Stars in an aperture, without calibration noise. The scatter of 52,000 measurements of each is known to 0.32 %.

import t, { type Test } from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { agree, TOLERANCE } from './agreement.ts'
import { between, type Request } from './set-ups.ts'
import { photographStar, photographStarSub, type StarField } from './star.ts'
import { randomStar, starRequestOf, type ChosenStar } from './star-set-ups.ts'

const EFFORT = { gridSide: 24, repeats: 90 }

const CASES: Record<string, ChosenStar> = {
  'Gaussian, background known': { profile: { fwhmPx: 2.8 } },
  'Gaussian, undersampled': { profile: { fwhmPx: 1.3 } },
  'Gaussian, undersampled, in a narrow aperture': { profile: { fwhmPx: 1.3 }, apertureRadiusPx: 0.9 },
  'Moffat, background from 8 pixels': { profile: { fwhmPx: 2.5, moffatBeta: 3 }, backgroundPixels: 8 },
  'Moffat, undersampled': { profile: { fwhmPx: 1.3, moffatBeta: 2.2 }, backgroundPixels: 8 },
  'bright, its own photons most of the noise': { profile: { fwhmPx: 2.4 }, starElectrons: 200_000 },
  'binned in software': { profile: { fwhmPx: 1.6 }, sensor: { binning: 2 }, subCount: 2 },
  'binned on the chip': {
    profile: { fwhmPx: 2 },
    sensor: { binning: 2, binningKind: 'on-chip' },
    backgroundPixels: 8,
  },
  'green pixels of a mosaic': { profile: { fwhmPx: 3.5 }, mosaic: 'green' },
  'red pixels of a mosaic, background from 8 of them': {
    profile: { fwhmPx: 3 },
    mosaic: 'red',
    backgroundPixels: 8,
  },
  'median of five': {
    profile: { fwhmPx: 1.7 },
    combine: 'median',
    subCount: 5,
    sensor: { readNoiseElectrons: 5, electronsPerAdu: 1 },
  },
  'clipped mean of twelve': { profile: { fwhmPx: 1.6 }, apertureRadiusPx: 1.2, combine: 'clipped-mean', subCount: 12 },
}

Object.entries(CASES).forEach(([name, chosen], seed) => {
  void t.test(name, (t) => {
    const draws = new Draws(4000 + seed)
    const field = randomStar(draws, chosen)
    compare(t, field, starRequestOf(field), draws)
    t.end()
  })
})

for (const seed of [0, 1]) {
  void t.test(`one sub of a random star (${seed})`, (t) => {
    const draws = new Draws(4200 + seed)
    const field = randomStar(draws, {
      profile: { fwhmPx: between(draws, 1.2, 3), ...(seed === 1 && { moffatBeta: between(draws, 2, 5) }) },
      ...(seed === 1 && { backgroundPixels: 8 }),
      calibration: { darkFrames: 5 },
    })
    const { star } = noiseBudget.handle(starRequestOf(field))
    if (star === undefined) return t.fail('there is a star')
    agree(t, star.perSub, photographStarSub(field, EFFORT, draws), 'one sub, before calibration')
    t.end()
  })
}

void t.test('on an extended target, which is background to it', (t) => {
  const draws = new Draws(4100)
  const field = randomStar(draws, { profile: { fwhmPx: 2.5 }, backgroundPixels: 8 })
  const { target, ...request } = starRequestOf(field)
  const nebula = field.skyElectronsPerPixelSecond / 2
  compare(
    t,
    { ...field, skyElectronsPerPixelSecond: field.skyElectronsPerPixelSecond + nebula },
    { ...request, target: { ...target, electronsPerPixelSecond: nebula } },
    draws,
  )
  t.end()
})

function compare(t: Test, field: StarField, request: Request, draws: Draws): void {
  const { star } = noiseBudget.handle(request)
  if (star === undefined) {
    t.fail('there is a star')
    return
  }
  const stack = photographStar(field, EFFORT, draws)
  near(t, star.capturedFraction, stack.capturedFraction, TOLERANCE, 'captured fraction')
  agree(t, star.stack, stack, `${field.subCount} subs`)
}
