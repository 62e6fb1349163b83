import fc from 'fast-check'
import t from 'tap'
import { ARCSEC_PER_RADIAN } from '../../../src/engine/constants.ts'
import {
  candelaPerSquareMeter,
  candelaPerSquareMeterOfNanolamberts,
  magPerArcsec2OfCandela,
  magPerArcsec2OfNanolamberts,
  magPerArcsec2OfS10,
  nanolamberts,
  S10_MAG_PER_ARCSEC2,
  ZERO_MAGNITUDE_LUX,
} from '../../../src/engine/light/sky-brightness.ts'
import { near, refuses, within } from '../../support/near.ts'

for (const { id, magnitude, expected, relative, source } of [
  { id: 'S-SB-01', magnitude: 22, expected: 171.1685, relative: 1e-6, source: '10.8e4 convention' },
  { id: 'S-SB-02', magnitude: 16.6, expected: 24741.37, relative: 1e-6, source: 'worked value with the convention' },
  { id: 'S-SB-04', magnitude: 21, expected: 430, relative: 1e-3, source: 'worked value, Hollan' },
]) {
  void t.test(`${id} luminance of ${magnitude} mag/arcsec² (${source})`, (t) => {
    near(t, candelaPerSquareMeter(magnitude) * 1e6, expected, relative, 'µcd/m²')
    t.end()
  })
}

void t.test(
  'S-SB-03 luminance of 21.31 and 21.30 mag/arcsec² to the last published digit (worked values, Hollan)',
  (t) => {
    within(t, candelaPerSquareMeter(21.31) * 1e6, 323.16, 0.005, '21.31, µcd/m²')
    within(t, candelaPerSquareMeter(21.3) * 1e6, 326.15, 0.005, '21.30, µcd/m²')
    t.end()
  },
)

void t.test('S-SB-05 sky brightness of 1 mcd/m² (computed: inverse)', (t) => {
  within(t, magPerArcsec2OfCandela(1e-3), 20.0836, 1e-4, 'mag/arcsec²')
  t.end()
})

void t.test('S-SB-06 2.54e-6 lx over one arcsec² explains the factor (Allen 1973, from memory)', (t) => {
  near(t, ZERO_MAGNITUDE_LUX * ARCSEC_PER_RADIAN.value ** 2, 108065, 1e-5, 'cd/m²')
  t.end()
})

for (const { id, magnitude, expected, relative } of [
  { id: 'S-SB-07', magnitude: 22, expected: 54.008, relative: 1e-4 },
  { id: 'S-SB-08', magnitude: 21.587, expected: 79.01, relative: 1e-3 },
  { id: 'S-SB-17', magnitude: 18, expected: 2150.1, relative: 1e-4 },
]) {
  void t.test(`${id} V = ${magnitude} in nanolamberts (Krisciunas & Schaefer 1991, eq. 1)`, (t) => {
    near(t, nanolamberts(magnitude), expected, relative, 'nL')
    t.end()
  })
}

void t.test('S-SB-09 the two conventions differ by 0.4 % (computed)', (t) => {
  const ratio = candelaPerSquareMeterOfNanolamberts(nanolamberts(22)) / candelaPerSquareMeter(22)
  within(t, ratio, 1.00435, 1e-5, 'nanolamberts over the 10.8e4 rule')
  t.end()
})

void t.test('S-SB-10 the constant of S10 (computed)', (t) => {
  within(t, S10_MAG_PER_ARCSEC2, 10 + 2.5 * Math.log10(3600 ** 2), 1.6e-3, 'as carried, rounded from 27.7815')
  t.end()
})

void t.test('S-SB-11 220 S10 (published 21.9; Benn & Ellison 1998)', (t) => {
  within(t, magPerArcsec2OfS10(220), 21.924, 0.001, 'mag/arcsec²')
  t.end()
})

void t.test('S-SB-18 39.1 S10 of faint stars (Roach & Gordon 1973)', (t) => {
  within(t, magPerArcsec2OfS10(39.1), 23.8, 0.001, 'mag/arcsec²')
  t.end()
})

void t.test('both conventions can be turned back', (t) => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 30, noNaN: true }), (magnitude) => {
      const byCandela = magPerArcsec2OfCandela(candelaPerSquareMeter(magnitude))
      const byNanolamberts = magPerArcsec2OfNanolamberts(nanolamberts(magnitude))
      return Math.abs(byCandela - magnitude) < 1e-9 && Math.abs(byNanolamberts - magnitude) < 1e-9
    }),
    { numRuns: 200, seed: 102 },
  )
  t.pass('over 0 to 30 mag/arcsec²')
  t.end()
})

void t.test('what is no brightness is refused', (t) => {
  refuses(t, () => candelaPerSquareMeter(NaN), 'out-of-range', 'no number')
  refuses(t, () => nanolamberts(41), 'out-of-range', 'too dark to be a sky')
  refuses(t, () => magPerArcsec2OfCandela(0), 'no-solution', 'no light')
  refuses(t, () => magPerArcsec2OfNanolamberts(0), 'out-of-range', 'no light')
  refuses(t, () => magPerArcsec2OfS10(-1), 'no-solution', 'negative light')
  t.end()
})
