import fc from 'fast-check'
import t from 'tap'
import type { LampShares } from '../../../src/engine/light/lamp-spectra.ts'
import { DEFAULT_LAMP_SHARES } from '../../../src/engine/light/lamp-spectra.ts'
import { relativeFlux } from '../../../src/engine/light/magnitudes.ts'
import { moonlightIntegral, skyIntegrals } from '../../../src/engine/light/band-integrals.ts'
import { moonModelAirmass } from '../../../src/engine/light/moonlight.ts'
import { altitudeMag, skyMagnitudes } from '../../../src/engine/light/sky.ts'
import { moonlessMagnitudeOf, skyElectrons } from '../../../src/engine/light/sky-electrons.ts'
import { collectingAreaM2 } from '../../../src/engine/light/throughput.ts'
import { near, refuses, within } from '../../support/near.ts'
import { monoResponse, zenithSky } from './support.ts'

const refractor = monoResponse({ centerNm: 656.3, widthNm: 7, transmission: 0.9 }, 0.75, 0.85)
const perPixel = collectingAreaM2({ apertureMm: 80, obstructionMm: 0 }) * 2 ** 2
const luminance = monoResponse({ band: 'luminance' }, 0.8, 0.9)

void t.test('S-CH-07 a natural sky through an H-alpha filter of 70 Å (Table SP-A)', (t) => {
  const { natural, artificial, moon } = skyElectrons({ response: refractor, sky: zenithSky(21.9) })
  near(t, natural * perPixel, 0.010957, 1e-4, 'electrons per pixel and second')
  t.equal(artificial, 0)
  t.equal(moon, 0)
  t.end()
})

void t.test('S-CH-08 the same under a total of 19.0 lit by white LEDs (Table SP-B)', (t) => {
  const { natural, artificial } = skyElectrons({ response: refractor, sky: zenithSky(19) })
  near(t, (natural + artificial) * perPixel, 0.16264, 1e-4, 'electrons per pixel and second')
  t.end()
})

void t.test('S-SP-08, S-SP-09 sodium lamps give 5.500 of the 10.042 that LEDs give at H-alpha (Table SP-B)', (t) => {
  const artificial = (lamps: LampShares): number =>
    skyElectrons({ response: refractor, sky: { ...zenithSky(19), lamps } }).artificial
  near(t, artificial({ 'high-pressure-sodium': 1 }) / artificial({ 'led-4100k': 1 }), 5.5 / 10.042, 1e-4, 'ratio')
  t.end()
})

void t.test('a mixture of lamps is the mean by its shares, whatever their scale', (t) => {
  const artificial = (lamps: LampShares): number =>
    skyElectrons({ response: luminance, sky: { ...zenithSky(19), lamps } }).artificial
  const sodium = artificial({ 'high-pressure-sodium': 1 })
  const warm = artificial({ 'led-3000k': 2 })
  near(t, artificial({ 'high-pressure-sodium': 3, 'led-3000k': 1 }), (3 * sodium + warm) / 4, 1e-12, 'mixture')
  const cold = artificial({ 'led-4100k': 1 })
  near(t, artificial(DEFAULT_LAMP_SHARES), 0.3 * sodium + 0.3 * warm + 0.4 * cold, 1e-12, 'default mixture')
  t.end()
})

void t.test('darker than 21.9 all but the geocorona is scaled down', (t) => {
  const { continuum, airglowLines, geocorona } = skyIntegrals(refractor)
  const { natural, artificial } = skyElectrons({ response: refractor, sky: zenithSky(22.4) })
  near(t, natural, (continuum + airglowLines) * relativeFlux(0.5) + geocorona, 1e-12, 'natural')
  t.equal(artificial, 0)
  t.end()
})

void t.test('toward the horizon the natural part follows its V, the artificial part stays', (t) => {
  const low = { ...zenithSky(20), targetAltitudeDegrees: 30 }
  const there = skyElectrons({ response: luminance, sky: low })
  const zenith = skyElectrons({ response: luminance, sky: zenithSky(20) })
  near(t, there.natural / zenith.natural, relativeFlux(altitudeMag(low)), 1e-12, 'natural')
  t.equal(there.artificial, zenith.artificial)
  t.end()
})

void t.test('moonlight is its V times its colour, and no Moon is no light', (t) => {
  const moon = { phaseAngleDegrees: 45, altitudeDegrees: 20, separationDegrees: 50 }
  const sky = { ...zenithSky(21), targetAltitudeDegrees: 70, moon }
  const colour = moonlightIntegral({
    response: luminance,
    extinctionMagPerAirmass: 0.2,
    airmass: moonModelAirmass(70),
    moonAirmass: moonModelAirmass(20),
  })
  const expected = relativeFlux(Number(skyMagnitudes(sky).moon)) * colour
  near(t, skyElectrons({ response: luminance, sky }).moon, expected, 1e-12, 'moonlight')
  const down = { ...sky, moon: { ...moon, altitudeDegrees: -1 } }
  t.equal(skyElectrons({ response: luminance, sky: down }).moon, 0, 'below the horizon')
  t.end()
})

void t.test('a narrow filter sees only what shines inside it', (t) => {
  const electrons = (centerNm: number): number =>
    skyElectrons({ response: monoResponse({ centerNm, widthNm: 3, transmission: 0.9 }), sky: zenithSky(21.9) }).natural
  t.ok(electrons(557.7) > 10 * electrons(553), 'the oxygen line of the airglow outshines the continuum beside it')
  const sodium = { ...zenithSky(19), lamps: { 'high-pressure-sodium': 1 } }
  const lamp = (centerNm: number): number =>
    skyElectrons({ response: monoResponse({ centerNm, widthNm: 3, transmission: 0.9 }), sky: sodium }).artificial
  t.ok(lamp(590) > 20 * lamp(530), 'sodium light is yellow')
  t.end()
})

void t.test('a brighter sky gives more electrons, in every band', (t) => {
  const magnitude = fc.double({ min: 16, max: 23, noNaN: true })
  fc.assert(
    fc.property(magnitude, magnitude, fc.constantFrom(refractor, luminance), (a, b, response) => {
      const rate = (mag: number): number => {
        const { natural, artificial } = skyElectrons({ response, sky: zenithSky(mag) })
        return natural + artificial
      }
      return rate(Math.min(a, b)) >= rate(Math.max(a, b))
    }),
    { numRuns: 200, seed: 114 },
  )
  t.pass('over 16 to 23 mag/arcsec²')
  t.end()
})

void t.test('a measured rate gives back the sky it came from', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: 10, max: 24, noNaN: true }),
      fc.constantFrom(refractor, luminance),
      fc.constantFrom<LampShares>({ 'led-3000k': 1 }, { 'high-pressure-sodium': 1, 'led-6600k': 2 }),
      (magnitude, response, lamps) => {
        const { natural, artificial } = skyElectrons({ response, sky: { ...zenithSky(magnitude), lamps } })
        const electronsPerSecondM2Arcsec2 = natural + artificial
        return Math.abs(moonlessMagnitudeOf({ response, electronsPerSecondM2Arcsec2, lamps }) - magnitude) < 1e-9
      },
    ),
    { numRuns: 300, seed: 115 },
  )
  const natural = skyElectrons({ response: luminance, sky: zenithSky(21.9) }).natural
  const back = moonlessMagnitudeOf({
    response: luminance,
    electronsPerSecondM2Arcsec2: natural,
    lamps: DEFAULT_LAMP_SHARES,
  })
  within(t, back, 21.9, 1e-9, 'where the two branches meet')
  t.end()
})

void t.test('a rate that no sky gives is refused, with the rates that there are', (t) => {
  const { geocorona } = skyIntegrals(refractor)
  const of = (electronsPerSecondM2Arcsec2: number): number =>
    moonlessMagnitudeOf({ response: refractor, electronsPerSecondM2Arcsec2, lamps: DEFAULT_LAMP_SHARES })
  refuses(t, () => of(geocorona), 'no-solution', 'the geocorona alone')
  refuses(t, () => of(geocorona * 1.0001), 'no-solution', 'darker than 30 mag/arcsec²')
  refuses(t, () => of(0), 'no-solution', 'nothing')
  refuses(t, () => of(NaN), 'no-solution', 'no number')
  refuses(t, () => of(1e12), 'no-solution', 'daylight')
  try {
    of(0)
    t.fail('nothing is refused')
  } catch (error) {
    t.match(error, { details: { facts: { geocoronaRate: geocorona } } }, 'facts')
  }
  const closed = monoResponse({ centerNm: 600, widthNm: 10, transmission: 0 })
  const blind = { response: closed, electronsPerSecondM2Arcsec2: 0, lamps: DEFAULT_LAMP_SHARES }
  refuses(t, () => moonlessMagnitudeOf(blind), 'no-solution', 'a closed system')
  refuses(t, () => moonlessMagnitudeOf({ ...blind, electronsPerSecondM2Arcsec2: 1 }), 'no-solution', 'light through it')
  t.end()
})

void t.test('lamps without a share are refused', (t) => {
  for (const lamps of [{}, { 'led-3000k': 0 }, { 'led-3000k': -1 }, { 'led-3000k': NaN }]) {
    const sky = { ...zenithSky(20), lamps }
    refuses(t, () => skyElectrons({ response: luminance, sky }), 'out-of-range', JSON.stringify(lamps))
  }
  t.end()
})
