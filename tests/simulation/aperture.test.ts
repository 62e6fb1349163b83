// The aperture that is chosen where none is asked for, against narrower and wider ones on simulated stars.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { Draws } from './draws.ts'
import { without } from './set-ups.ts'
import { photographStar } from './star.ts'
import { pixelScaleArcsec, randomStar, starRequestOf, type ChosenStar } from './star-set-ups.ts'

const EFFORT = { gridSide: 20, repeats: 45 }

const STARS: Record<string, ChosenStar> = {
  'faint, Gaussian': { profile: { fwhmPx: 2.6 }, starElectrons: 1500, subSeconds: 60, skyElectronsPerPixelSecond: 5 },
  'bright, Moffat, background from 25 pixels': {
    profile: { fwhmPx: 2, moffatBeta: 3 },
    starElectrons: 60_000,
    backgroundPixels: 25,
  },
}

Object.entries(STARS).forEach(([name, chosen], seed) => {
  void t.test(`no aperture measures better: ${name}`, (t) => {
    const draws = new Draws(7000 + seed)
    const field = randomStar(draws, { subCount: 1, ...chosen })
    const { plan, ...request } = starRequestOf(field)
    const open = without(plan ?? {}, 'apertureRadiusArcsec')
    const chosenArcsec = noiseBudget.handle({ ...request, plan: open }).star?.apertureRadiusArcsec ?? 0
    const chosenPx = chosenArcsec / pixelScaleArcsec(field)
    const snr = (factor: number) => photographStar({ ...field, apertureRadiusPx: chosenPx * factor }, EFFORT, draws).snr
    const best = snr(1)
    for (const factor of [0.65, 0.82, 1.22, 1.5]) {
      const other = snr(factor)
      t.ok(other < best * 1.015, `${factor} times ${chosenPx} px: ${other} is not above ${best} by more than chance`)
    }
    t.ok(snr(0.5) < best * 0.9, 'half of it is clearly worse')
    t.end()
  })
})
