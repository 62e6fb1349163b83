import t from 'tap'
import {
  AIRGLOW_SHARE,
  DARK_SITES,
  FAINT_STARS_S10,
  MAP_REFERENCES,
  NATURAL_SKY_MAG_PER_ARCSEC2,
  NATURAL_SKY_S10,
  naturalSkyS10,
} from '../../../src/engine/light/natural-sky.ts'
import { candelaPerSquareMeter, magPerArcsec2OfS10 } from '../../../src/engine/light/sky-brightness.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('S-SB-11 the parts of the dark sky make 21.9 (Roach & Gordon 1973, Benn & Ellison 1998)', (t) => {
  const { airglow, zodiacalLight, scatteredStarlight } = NATURAL_SKY_S10
  const total = airglow + zodiacalLight + scatteredStarlight
  t.equal(total, 220, 'S10')
  within(t, magPerArcsec2OfS10(total), NATURAL_SKY_MAG_PER_ARCSEC2, 0.03, 'V')
  within(t, airglow / total, AIRGLOW_SHARE.value, 0.06, 'share of the airglow')
  t.end()
})

void t.test('S-SB-15 solar maximum is 0.50 mag brighter (formula from memory; published effect 0.4)', (t) => {
  const parts = naturalSkyS10({ solarFluxMegajansky: 2, eclipticLatitudeDegrees: 90 })
  t.same(parts, { airglow: 275, zodiacalLight: 60, scatteredStarlight: 15 })
  const atMaximum = magPerArcsec2OfS10(350)
  within(t, atMaximum, 21.42, 0.002, 'V')
  within(t, magPerArcsec2OfS10(220) - atMaximum, 0.5, 0.005, 'brightening')
  t.end()
})

void t.test('zodiacal light grows toward the ecliptic, 140 S10 on it (Benn & Ellison 1998, from memory)', (t) => {
  const at = (eclipticLatitudeDegrees: number): number =>
    naturalSkyS10({ solarFluxMegajansky: 0.8, eclipticLatitudeDegrees }).zodiacalLight
  t.equal(at(0), 140)
  near(t, at(-30), 95, 1e-12, '30° south')
  near(t, at(30), 95, 1e-12, '30° north')
  t.equal(at(60), 60, 'and is constant from 60° on')
  const brightening = magPerArcsec2OfS10(220) - magPerArcsec2OfS10(300)
  within(t, brightening, 0.4, 0.07, 'on the ecliptic 0.4 mag brighter, as published')
  t.end()
})

void t.test('what is outside the solar cycle or the sphere is refused', (t) => {
  refuses(t, () => naturalSkyS10({ solarFluxMegajansky: 0.5, eclipticLatitudeDegrees: 0 }), 'out-of-range', 'flux')
  refuses(t, () => naturalSkyS10({ solarFluxMegajansky: 1, eclipticLatitudeDegrees: 91 }), 'out-of-range', 'latitude')
  t.end()
})

void t.test('Table SB-A the dark sites lie within 0.9 mag of each other in V', (t) => {
  const visual = DARK_SITES.map((row) => row.V)
  t.equal(Math.max(...visual), 21.906, 'the darkest')
  t.equal(Math.min(...visual), 21.1, 'the brightest')
  t.equal(FAINT_STARS_S10.s10, 39.1)
  t.end()
})

void t.test('references of the maps: 22.0 is 174 and 21.6 is 252 µcd/m² (Falchi 2016, Cinzano 2001; memory)', (t) => {
  for (const { magPerArcsec2, microcandelaPerSquareMeter } of MAP_REFERENCES) {
    near(t, candelaPerSquareMeter(magPerArcsec2) * 1e6, microcandelaPerSquareMeter, 0.03, `${magPerArcsec2}`)
  }
  t.end()
})
