// Single photons of a star, thrown at pixels: what an aperture catches, and what the brightest pixel must hold. A million
// photons tell a share of a tenth to 0.3 %.

import t from 'tap'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { TOLERANCE } from './agreement.ts'
import { landing, shareInSquare, type Profile } from './profile.ts'
import { Cell } from './sensor.ts'
import { randomStar, starRequestOf } from './star-set-ups.ts'

const PHOTONS = 1_000_000

const PROFILES: Profile[] = [
  { fwhmPx: 1.3 },
  { fwhmPx: 3 },
  { fwhmPx: 1.3, moffatBeta: 2.5 },
  { fwhmPx: 2.4, moffatBeta: 3 },
  { fwhmPx: 0.7 },
]

PROFILES.forEach((profile, seed) => {
  const name = profile.moffatBeta === undefined ? 'Gaussian' : `Moffat ${profile.moffatBeta}`
  void t.test(`${name}, ${profile.fwhmPx} px`, (t) => {
    const draws = new Draws(6000 + seed)
    const field = randomStar(draws, { profile })
    const { star } = noiseBudget.handle(starRequestOf(field))
    if (star === undefined) return t.fail('there is a star')
    const captured = shareCaptured(profile, field.apertureRadiusPx, draws)
    near(t, star.capturedFraction, captured, TOLERANCE, `in ${field.apertureRadiusPx} px, wherever it falls`)
    const peak = shareOnCentralPixel(profile, draws)
    near(t, star.peakPixelFraction, peak, TOLERANCE, 'on the brightest pixel')
    near(t, shareInSquare(profile, { x: 0, y: 0, side: 1 }), peak, TOLERANCE, 'as the profile adds up over it')
    const evenly = field.skyElectronsPerPixelSecond + field.sensor.darkElectronsPerPixelSecond
    const fullest = (field.starElectronsPerSecond * peak + evenly) * field.subSeconds
    near(t, star.peakElectrons, fullest, TOLERANCE, 'electrons on that pixel')
    t.end()
  })
})

for (const { name, fullWellElectrons, bitDepth } of [
  { name: 'the well', fullWellElectrons: 20000, bitDepth: 16 },
  { name: 'the converter', fullWellElectrons: 90000, bitDepth: 12 },
]) {
  void t.test(`a star clips when its brightest pixel overflows ${name}`, (t) => {
    const draws = new Draws(6100)
    const sensor = { fullWellElectrons, bitDepth, electronsPerAdu: 5, readNoiseElectrons: 6, offsetAdu: 200 }
    const profile = { fwhmPx: 2.5 }
    const peak = shareOnCentralPixel(profile, draws)
    for (const electrons of [19000, 19700, 20200, 21000]) {
      const field = randomStar(draws, {
        profile,
        starElectrons: electrons / peak,
        subSeconds: 10,
        skyElectronsPerPixelSecond: 0.1,
        sensor: { ...sensor, darkElectronsPerPixelSecond: 0 },
      })
      const cell = new Cell(field.sensor)
      const overflows = cell.read(electrons, sensor.offsetAdu, 0) === cell.read(10 * electrons, sensor.offsetAdu, 0)
      t.equal(noiseBudget.handle(starRequestOf(field)).star?.clips, overflows, `${electrons} electrons`)
    }
    t.end()
  })
}

/** Photons of stars that fall anywhere on their pixel, counted on the pixels whose centres lie in the aperture. */
function shareCaptured(profile: Profile, radiusPx: number, draws: Draws): number {
  let captured = 0
  const photons = PHOTONS / 4
  for (let photon = 0; photon < photons; photon++) {
    const star = { x: draws.uniform(), y: draws.uniform() }
    const { x, y } = landing(profile, draws)
    const column = Math.round(star.x + x)
    const row = Math.round(star.y + y)
    if ((column - star.x) ** 2 + (row - star.y) ** 2 <= radiusPx ** 2) captured++
  }
  return captured / photons
}

function shareOnCentralPixel(profile: Profile, draws: Draws): number {
  let hits = 0
  for (let photon = 0; photon < PHOTONS; photon++) {
    const { x, y } = landing(profile, draws)
    if (Math.abs(x) < 0.5 && Math.abs(y) < 0.5) hits++
  }
  return hits / PHOTONS
}
