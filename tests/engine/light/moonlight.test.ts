import fc from 'fast-check'
import t from 'tap'
import { magnitudeOfRelativeFlux, relativeFlux } from '../../../src/engine/light/magnitudes.ts'
import {
  MOON_AGE_SKY,
  moonIlluminance,
  moonlightNanolamberts,
  moonModelAirmass,
  moonScattering,
} from '../../../src/engine/light/moonlight.ts'
import { magPerArcsec2OfNanolamberts, nanolamberts } from '../../../src/engine/light/sky-brightness.ts'
import { zenithDistanceMag } from '../../../src/engine/light/zenith-law.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('S-MO-02, S-MO-15 light of the Moon by phase angle (Krisciunas & Schaefer 1991)', (t) => {
  for (const [phase, expected] of [
    [0, 2.91072e-2],
    [30, 1.41483e-2],
    [45, 9.75976e-3],
    [60, 6.59575e-3],
    [90, 2.64865e-3],
    [120, 7.65992e-4],
    [150, 1.24165e-4],
  ] as const) {
    near(t, moonIlluminance(phase), expected, 1e-5, `phase angle ${phase}°`)
    t.equal(moonIlluminance(-phase), moonIlluminance(phase), 'waxing as waning')
  }
  t.end()
})

void t.test('S-MO-03, S-MO-16 fading with phase (Krisciunas & Schaefer 1991; table of Allen 1963)', (t) => {
  for (const [phase, computed, allen, off] of [
    [60, 1.612, 1.62, 0.03],
    [90, 2.602, 2.63, 0.03],
    [120, 3.949, 3.93, 0.03],
    [150, 5.925, 5.9, 0.03],
  ] as const) {
    const fading = magnitudeOfRelativeFlux(moonIlluminance(phase)) - magnitudeOfRelativeFlux(moonIlluminance(0))
    within(t, fading, computed, 0.001, `phase angle ${phase}°`)
    within(t, fading, allen, off, 'Allen')
  }
  t.end()
})

void t.test('S-MO-04 scattering function (Krisciunas & Schaefer 1991)', (t) => {
  for (const [separation, expected] of [
    [10, 1.25934e6],
    [30, 665836],
    [45, 463301],
    [90, 250775],
  ] as const) {
    near(t, moonScattering(separation), expected, 1e-5, `${separation}°`)
  }
  t.end()
})

void t.test('close to the Moon the aerosol term is 6.2e7 over the angle squared (from memory)', (t) => {
  const cosine = Math.cos((5 * Math.PI) / 180)
  near(t, moonScattering(5), 10 ** 5.36 * (1.06 + cosine ** 2) + 6.2e7 / 25, 1e-12, '5°')
  t.end()
})

for (const { id, phase, separation, moonZenith, zenith, k, moonNl, moonMag, darkNl, change, total } of [
  {
    id: 'S-MO-05',
    phase: 45,
    separation: 50,
    moonZenith: 70,
    zenith: 20,
    k: 0.15,
    moonNl: 389.52,
    moonMag: 19.855,
    darkNl: 62.322,
    change: -2.1509,
    total: 19.6937,
  },
  {
    id: 'S-MO-06',
    phase: 0,
    separation: 60,
    moonZenith: 30,
    zenith: 30,
    k: 0.172,
    moonNl: 1390.43,
    moonMag: 18.473,
    darkNl: 66.364,
    change: -3.3537,
    total: 18.4227,
  },
  {
    id: 'S-MO-07',
    phase: 90,
    separation: 60,
    moonZenith: 45,
    zenith: 15,
    k: 0.172,
    moonNl: 110.74,
    moonMag: 21.22,
    darkNl: 60.893,
    change: -1.1251,
    total: 20.7446,
  },
]) {
  void t.test(`${id} moonlit sky over a dark zenith of 21.9 (Krisciunas & Schaefer 1991)`, (t) => {
    const moonlight = moonlightNanolamberts({
      moon: { phaseAngleDegrees: phase, altitudeDegrees: 90 - moonZenith, separationDegrees: separation },
      targetAltitudeDegrees: 90 - zenith,
      extinctionMagPerAirmass: k,
    })
    near(t, moonlight, moonNl, 1e-4, 'moonlight, nL')
    within(t, magPerArcsec2OfNanolamberts(moonlight), moonMag, 1e-3, 'moonlight, V')
    const airmass = moonModelAirmass(90 - zenith)
    const darkening = zenithDistanceMag({ airglowShare: 1, extinctionMagPerAirmass: k, airmass })
    const dark = nanolamberts(21.9) * relativeFlux(darkening)
    near(t, dark, darkNl, 1e-4, 'dark sky, nL')
    within(t, magnitudeOfRelativeFlux((moonlight + dark) / dark), change, 1e-3, 'change, mag')
    within(t, magPerArcsec2OfNanolamberts(moonlight + dark), total, 1e-3, 'total, V')
    t.end()
  })
}

void t.test('S-MO-08 a Moon below the horizon adds nothing, whatever its phase', (t) => {
  for (const phaseAngleDegrees of [0, 90, -170]) {
    const moon = { phaseAngleDegrees, altitudeDegrees: -5, separationDegrees: 80 }
    t.equal(moonlightNanolamberts({ moon, targetAltitudeDegrees: 60, extinctionMagPerAirmass: 0.2 }), 0)
  }
  t.end()
})

void t.test('a waning Moon never brightens the sky, and clear air scatters nothing', (t) => {
  const phase = fc.double({ min: 0, max: 180, noNaN: true })
  const altitude = fc.double({ min: 0, max: 90, noNaN: true })
  fc.assert(
    fc.property(phase, phase, altitude, altitude, (a, b, altitudeDegrees, targetAltitudeDegrees) => {
      const at = (phaseAngleDegrees: number, extinctionMagPerAirmass: number): number =>
        moonlightNanolamberts({
          moon: { phaseAngleDegrees, altitudeDegrees, separationDegrees: 60 },
          targetAltitudeDegrees,
          extinctionMagPerAirmass,
        })
      return at(Math.max(a, b), 0.2) <= at(Math.min(a, b), 0.2) && at(a, 0) === 0
    }),
    { numRuns: 200, seed: 107 },
  )
  t.pass('at any altitude')
  t.end()
})

void t.test('a Moon or a target that cannot be is refused', (t) => {
  const good = { phaseAngleDegrees: 40, altitudeDegrees: 30, separationDegrees: 60 }
  const sky = { targetAltitudeDegrees: 60, extinctionMagPerAirmass: 0.2 }
  for (const moon of [
    { ...good, phaseAngleDegrees: 181 },
    { ...good, altitudeDegrees: 91 },
    { ...good, separationDegrees: 0.2 },
    { ...good, separationDegrees: 181 },
  ]) {
    refuses(t, () => moonlightNanolamberts({ moon, ...sky }), 'out-of-range', JSON.stringify(moon))
  }
  refuses(t, () => moonlightNanolamberts({ moon: good, ...sky, targetAltitudeDegrees: -1 }), 'out-of-range', 'target')
  refuses(t, () => moonModelAirmass(91), 'out-of-range', 'altitude')
  t.end()
})

void t.test('Table MO-A the sky never darkens toward full Moon (Walker 1987, from memory)', (t) => {
  for (const band of ['U', 'B', 'V', 'R', 'I'] as const) {
    const column = MOON_AGE_SKY.rows.map((row) => row[band])
    t.same(
      column,
      column.toSorted((a, b) => b - a),
      band,
    )
  }
  t.end()
})
