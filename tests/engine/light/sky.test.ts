import fc from 'fast-check'
import t from 'tap'
import { visualExtinction } from '../../../src/engine/light/extinction.ts'
import { addMagnitudes } from '../../../src/engine/light/magnitudes.ts'
import { moonlightNanolamberts } from '../../../src/engine/light/moonlight.ts'
import { magPerArcsec2OfNanolamberts } from '../../../src/engine/light/sky-brightness.ts'
import type { Sky } from '../../../src/engine/light/sky.ts'
import {
  altitudeMag,
  artificialMagPerArcsec2,
  DEFAULT_EXTINCTION_MAG_PER_AIRMASS,
  skyMagnitudes,
} from '../../../src/engine/light/sky.ts'
import { near, refuses, within } from '../../support/near.ts'
import { zenithSky } from './support.ts'

void t.test('S-SB-13, S-SP-08 the artificial part is what 21.9 leaves of the total (computed)', (t) => {
  within(t, Number(artificialMagPerArcsec2(20.5)), 20.8498, 1e-4, '20.5')
  within(t, Number(artificialMagPerArcsec2(19)), 19.0778, 1e-4, '19.0')
  t.equal(artificialMagPerArcsec2(21.9), null, 'a natural sky has none')
  t.equal(artificialMagPerArcsec2(22.1), null, 'nor has a darker one')
  t.end()
})

void t.test('at the zenith the parts make the total that was given', (t) => {
  fc.assert(
    fc.property(fc.double({ min: 15, max: 23, noNaN: true }), (magnitude) => {
      const { natural, moonlessTotal, total, moon } = skyMagnitudes(zenithSky(magnitude))
      return (
        Math.abs(moonlessTotal - magnitude) < 1e-9 && total === moonlessTotal && moon === null && natural >= magnitude
      )
    }),
    { numRuns: 200, seed: 113 },
  )
  t.equal(skyMagnitudes(zenithSky(22.2)).natural, 22.2, 'a darker sky has a darker natural part')
  within(t, skyMagnitudes(zenithSky(20)).natural, 21.9, 1e-12, 'a brighter sky has the usual one')
  t.end()
})

void t.test('S-MO-10 toward the horizon the natural part brightens, the artificial part is kept (Patat 2003)', (t) => {
  const sky: Sky = { ...zenithSky(20.5), targetAltitudeDegrees: 40, extinctionMagPerAirmass: 0.11 }
  within(t, altitudeMag(sky), -0.235, 0.0006, 'natural part, V at 50° from the zenith')
  const { natural, artificial, moonlessTotal } = skyMagnitudes(sky)
  within(t, natural, 21.9 - 0.235, 0.0006, 'natural')
  within(t, Number(artificial), 20.8498, 1e-4, 'artificial')
  within(t, moonlessTotal, addMagnitudes([natural, Number(artificial)]), 1e-12, 'total')
  t.end()
})

void t.test('S-MO-06 the Moon adds its light on top (Krisciunas & Schaefer 1991)', (t) => {
  const moon = { phaseAngleDegrees: 0, altitudeDegrees: 60, separationDegrees: 60 }
  const sky: Sky = { ...zenithSky(21.9), targetAltitudeDegrees: 60, extinctionMagPerAirmass: 0.172, moon }
  const magnitudes = skyMagnitudes(sky)
  within(t, Number(magnitudes.moon), 18.473, 1e-3, 'moonlight')
  within(t, magnitudes.total, addMagnitudes([magnitudes.moonlessTotal, Number(magnitudes.moon)]), 1e-12, 'total')
  near(t, Number(magnitudes.moon), magPerArcsec2OfNanolamberts(moonlightNanolamberts({ ...sky, moon })), 1e-12, 'V')
  t.end()
})

void t.test('S-MO-08 a Moon that is down adds nothing, nor does one in air that does not scatter', (t) => {
  const moon = { phaseAngleDegrees: 0, altitudeDegrees: -5, separationDegrees: 90 }
  t.same(skyMagnitudes({ ...zenithSky(21), moon }), skyMagnitudes(zenithSky(21)), 'below the horizon')
  const up = { ...moon, altitudeDegrees: 40 }
  t.equal(skyMagnitudes({ ...zenithSky(21), extinctionMagPerAirmass: 0, moon: up }).moon, null, 'no air')
  const hardlyAny = { ...zenithSky(21), extinctionMagPerAirmass: 1e-15, moon: { ...up, phaseAngleDegrees: 180 } }
  t.ok(moonlightNanolamberts(hardlyAny) > 0, 'a new Moon in hardly any air')
  t.equal(skyMagnitudes(hardlyAny).moon, null, 'gives too little to count')
  t.end()
})

void t.test('S-EX-06 the extinction to assume is that of clear air at sea level (Green 1992)', (t) => {
  t.equal(DEFAULT_EXTINCTION_MAG_PER_AIRMASS, visualExtinction(0).total)
  within(t, DEFAULT_EXTINCTION_MAG_PER_AIRMASS, 0.2811, 1e-4, 'mag per airmass')
  t.end()
})

void t.test('skies that cannot be are refused', (t) => {
  refuses(t, () => skyMagnitudes(zenithSky(31)), 'out-of-range', 'too dark')
  refuses(t, () => skyMagnitudes(zenithSky(NaN)), 'out-of-range', 'no number')
  refuses(t, () => skyMagnitudes({ ...zenithSky(21), targetAltitudeDegrees: -1 }), 'out-of-range', 'below the horizon')
  refuses(t, () => skyMagnitudes({ ...zenithSky(21), extinctionMagPerAirmass: 6 }), 'out-of-range', 'fog')
  t.end()
})
