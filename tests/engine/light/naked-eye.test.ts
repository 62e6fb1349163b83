import fc from 'fast-check'
import t from 'tap'
import { magPerArcsec2OfNakedEyeLimit, nakedEyeLimitMag } from '../../../src/engine/light/naked-eye.ts'
import { refuses, within } from '../../support/near.ts'

for (const { id, magnitude, expected } of [
  { id: 'S-NE-01', magnitude: 22, expected: 6.6247 },
  { id: 'S-NE-02', magnitude: 21.5, expected: 6.3845 },
  { id: 'S-NE-03', magnitude: 20, expected: 5.4942 },
  { id: 'S-NE-04', magnitude: 18, expected: 3.9681 },
  { id: 'S-NE-08', magnitude: 21, expected: 6.1155 },
  { id: 'S-NE-09', magnitude: 17, expected: 3.1013 },
]) {
  void t.test(`${id} naked-eye limit under ${magnitude} mag/arcsec² (Schaefer 1990, as restated)`, (t) => {
    within(t, nakedEyeLimitMag(magnitude), expected, 1e-4, 'limit')
    t.end()
  })
}

for (const { id, limit, expected } of [
  { id: 'S-NE-05', limit: 6, expected: 20.8 },
  { id: 'S-NE-06', limit: 4.5, expected: 18.6511 },
]) {
  void t.test(`${id} sky of a naked-eye limit of ${limit} (Schaefer 1990, as restated)`, (t) => {
    within(t, magPerArcsec2OfNakedEyeLimit(limit), expected, 1e-4, 'mag/arcsec²')
    t.end()
  })
}

void t.test('S-NE-07 a limit of 8.0, or of 7.93, has no sky and is refused', (t) => {
  refuses(t, () => magPerArcsec2OfNakedEyeLimit(8), 'no-solution', '8.0')
  refuses(t, () => magPerArcsec2OfNakedEyeLimit(7.93), 'no-solution', '7.93')
  t.ok(Number.isFinite(magPerArcsec2OfNakedEyeLimit(7.929)), 'just below it there is one')
  t.end()
})

void t.test('the inverse turns the limit back, and a darker sky never hides a star', (t) => {
  const sky = fc.double({ min: 5, max: 25, noNaN: true })
  fc.assert(
    fc.property(sky, sky, (first, second) => {
      const back = magPerArcsec2OfNakedEyeLimit(nakedEyeLimitMag(first))
      const ordered = nakedEyeLimitMag(Math.max(first, second)) >= nakedEyeLimitMag(Math.min(first, second))
      return ordered && Math.abs(back - first) < 1e-9
    }),
    { numRuns: 200, seed: 103 },
  )
  t.pass('over 5 to 25 mag/arcsec²')
  t.end()
})

void t.test('what is no sky and no star is refused', (t) => {
  refuses(t, () => nakedEyeLimitMag(-1), 'out-of-range', 'brighter than day')
  refuses(t, () => magPerArcsec2OfNakedEyeLimit(-15), 'out-of-range', 'brighter than the Moon')
  refuses(t, () => magPerArcsec2OfNakedEyeLimit(NaN), 'out-of-range', 'no number')
  t.end()
})
