// What the advised sub looks like when it is taken: how far the sky drowns the read noise, and what the night yields.

import t from 'tap'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { TOLERANCE } from './agreement.ts'
import { photographPatch, photographSub, type Patch } from './extended.ts'
import { logBetween, randomPatch, requestOf, without } from './set-ups.ts'
import { photographStar } from './star.ts'
import { randomStar, starRequestOf } from './star-set-ups.ts'

for (const seed of [0, 1, 2, 3]) {
  void t.test(`swamp factor and excess of read noise, random set-up ${seed}`, (t) => {
    const draws = new Draws(10000 + seed)
    const readNoiseElectrons = logBetween(draws, 1, 10)
    const subSeconds = logBetween(draws, 10, 300)
    const drawn = randomPatch(draws, {
      subSeconds,
      skyElectronsPerPixelSecond: (readNoiseElectrons ** 2 * logBetween(draws, 0.3, 4)) / subSeconds,
      sensor: { readNoiseElectrons, electronsPerAdu: null, darkElectronsPerPixelSecond: 1 / subSeconds },
    })
    const request = without(requestOf(drawn), 'plan')
    const answer = subExposure.handle({ ...request, plan: { longestSubSeconds: drawn.subSeconds } })
    const sub = { ...drawn, subSeconds: answer.recommended.subSeconds, targetElectronsPerPixelSecond: 0 }
    const { sensor } = drawn

    const light = photographSub(
      { ...sub, skyElectronsPerPixelSecond: 0, targetElectronsPerPixelSecond: drawn.skyElectronsPerPixelSecond },
      { blocks: 200_000 },
      draws,
    )
    const bias = { ...sub, skyElectronsPerPixelSecond: 0, sensor: { ...sensor, darkElectronsPerPixelSecond: 0 } }
    const readVariance = photographSub(bias, { blocks: 200_000 }, draws).noiseElectrons ** 2
    near(
      t,
      answer.swampFactor ?? 0,
      light.signalElectrons / readVariance,
      TOLERANCE,
      'sky over variance of bias frames',
    )

    const noise = (patch: Patch) => photographSub(patch, { blocks: 400_000 }, new Draws(seed)).noiseElectrons
    const excess = noise(sub) / noise({ ...sub, sensor: { ...sensor, readNoiseElectrons: 0 } }) - 1
    near(
      t,
      answer.readNoiseExcess ?? 0,
      excess,
      TOLERANCE,
      'noise with and without the amplifier, of the same electrons',
    )
    t.end()
  })
}

for (const seed of [0, 1]) {
  void t.test(`what a night yields on a pixel, random set-up ${seed}`, (t) => {
    const draws = new Draws(11000 + seed)
    const drawn = randomPatch(draws, { calibration: { darkFrames: 10, ditherPositions: 4 } })
    const { plan, ...request } = requestOf(drawn)
    const open = { ...without(plan ?? {}, 'subSeconds', 'subCount'), longestSubSeconds: drawn.subSeconds }
    const answer = subExposure.handle({ ...request, plan: { ...open, availableSeconds: 9 * drawn.subSeconds } })
    const { subSeconds, subCount } = answer.recommended
    const picture = photographPatch({ ...drawn, subSeconds, subCount }, { blocks: 60_000 }, draws)
    near(t, answer.expected.snrPerPixel ?? 0, picture.snr, TOLERANCE, `${subCount} subs of ${subSeconds} s`)
    t.end()
  })
}

void t.test('what a night yields on a star', (t) => {
  const draws = new Draws(12000)
  const drawn = randomStar(draws, { profile: { fwhmPx: 2.4, moffatBeta: 3 }, backgroundPixels: 8 })
  const { plan, ...request } = starRequestOf(drawn)
  const open = { ...without(plan ?? {}, 'subSeconds', 'subCount'), longestSubSeconds: drawn.subSeconds }
  const answer = subExposure.handle({ ...request, plan: { ...open, availableSeconds: 5 * drawn.subSeconds } })
  const { subSeconds, subCount } = answer.recommended
  const picture = photographStar({ ...drawn, subSeconds, subCount }, { gridSide: 24, repeats: 90 }, draws)
  near(t, answer.expected.snrStar ?? 0, picture.snr, TOLERANCE, `${subCount} subs of ${subSeconds} s`)
  t.end()
})
