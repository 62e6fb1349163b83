// Extended targets, stacked by the mean, without calibration noise. The scatter of 80,000 pixels is known to 0.25 %, so
// that 1 % is four standard errors.

import t, { type Test } from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { agree, TOLERANCE } from './agreement.ts'
import { photographPatch, photographSub, type Patch } from './extended.ts'
import { between, randomPatch, requestOf } from './set-ups.ts'

const EFFORT = { blocks: 80_000 }

const BINNINGS = [
  { binning: 1, binningKind: 'software' },
  { binning: 1, binningKind: 'software' },
  { binning: 2, binningKind: 'software' },
  { binning: 2, binningKind: 'on-chip' },
  { binning: 3, binningKind: 'software' },
  { binning: 3, binningKind: 'on-chip' },
] as const

BINNINGS.forEach((binning, seed) => {
  void t.test(`random set-up ${seed}, binning ${binning.binning}, ${binning.binningKind}`, (t) => {
    const draws = new Draws(1000 + seed)
    compare(t, randomPatch(draws, { sensor: binning, subCount: binning.binning === 1 ? 10 : 4 }), draws)
    t.end()
  })
})

for (const seed of [0, 1, 2]) {
  void t.test(`coarse gain ${seed}, read noise given without the rounding`, (t) => {
    const draws = new Draws(1100 + seed)
    const readNoiseElectrons = between(draws, 2, 4)
    const patch = randomPatch(draws, {
      skyElectronsPerPixelSecond: 0.05,
      targetElectronsPerPixelSecond: 0.02,
      subSeconds: 100,
      subCount: 6,
      sensor: {
        readNoiseElectrons,
        readNoiseIncludesQuantization: false,
        electronsPerAdu: readNoiseElectrons * between(draws, 1.2, 2.2),
        binning: 1 + (seed % 2),
        darkElectronsPerPixelSecond: 0.01,
      },
    })
    const answer = compare(t, patch, draws)
    t.ok(answer.stack.shares.quantization > 0.03, 'rounding matters here')
    t.end()
  })
}

void t.test('a converter that is not described adds nothing', (t) => {
  const draws = new Draws(1200)
  compare(t, randomPatch(draws, { sensor: { electronsPerAdu: null } }), draws)
  t.end()
})

for (const { color, side, scale } of [
  { color: 'mono', side: 2, scale: 0.7 },
  { color: 'bayer', side: 4, scale: 1.3 },
] as const) {
  void t.test(`signal-to-noise ratio of a square arcsecond, ${color}`, (t) => {
    const draws = new Draws(1300 + side)
    const patch = randomPatch(draws, { subCount: 4 })
    const request = requestOf(patch)
    const answer = noiseBudget.handle({
      ...request,
      camera: { ...request.camera, color, pixelSizeUm: 3.76 },
      optics: { apertureMm: 80, focalLengthMm: (3.76 / scale) * (648000 / Math.PI / 1000) },
    })
    const pixelsPerBlock = color === 'bayer' ? side ** 2 / 2 : side ** 2
    const block = photographPatch(patch, { blocks: 40_000, pixelsPerBlock }, draws)
    near(t, answer.stack.snrPerArcsec2 ?? 0, block.snr / (side * scale), TOLERANCE, `block of ${side} by ${side}`)
    t.equal(answer.channel, color === 'bayer' ? 'green' : 'mono', 'of a mosaic, half the pixels are green')
    t.end()
  })
}

void t.test('shares of the variance are what vanishes with its source', (t) => {
  const draws = new Draws(1400)
  const patch = randomPatch(draws, {
    subSeconds: 60,
    skyElectronsPerPixelSecond: 0.4,
    targetElectronsPerPixelSecond: 0.3,
    sensor: { readNoiseElectrons: 4, electronsPerAdu: null, darkElectronsPerPixelSecond: 0.2 },
  })
  const { shares } = noiseBudget.handle(requestOf(patch)).perSub
  const effort = { blocks: 400_000 }
  const noise = (changed: Patch) => photographSub(changed, effort, draws).noiseElectrons
  const whole = noise(patch)
  const shareWithout = (changed: Patch) => 1 - (noise(changed) / whole) ** 2
  const { sensor } = patch
  const figures = {
    target: shareWithout({ ...patch, targetElectronsPerPixelSecond: 0 }),
    sky: shareWithout({ ...patch, skyElectronsPerPixelSecond: 0 }),
    dark: shareWithout({ ...patch, sensor: { ...sensor, darkElectronsPerPixelSecond: 0 } }),
    read: shareWithout({ ...patch, sensor: { ...sensor, readNoiseElectrons: 0 } }),
  }
  for (const term of ['target', 'sky', 'dark', 'read'] as const) {
    t.ok(Math.abs(shares[term] - figures[term]) < 0.01, `${term}: ${shares[term]} is close to ${figures[term]}`)
  }
  t.end()
})

function compare(t: Test, patch: Patch, draws: Draws) {
  const answer = noiseBudget.handle(requestOf(patch))
  agree(t, answer.perSub, photographSub(patch, EFFORT, draws), 'one sub')
  agree(t, answer.stack, photographPatch(patch, EFFORT, draws), `${patch.subCount} subs`)
  return answer
}
