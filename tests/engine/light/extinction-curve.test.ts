import fc from 'fast-check'
import t from 'tap'
import { rayleighExtinction, SITE_EXTINCTION } from '../../../src/engine/light/extinction.ts'
import { extinctionAt, extinctionCurve, OZONE_ABSORPTION } from '../../../src/engine/light/extinction-curve.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('the curve passes through the number it is made of at 550 nm', (t) => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 5, noNaN: true }), (k) => {
      return Math.abs(extinctionAt(extinctionCurve(k), 550) - k) <= 1e-12 * (1 + k)
    }),
    { numRuns: 200, seed: 108 },
  )
  t.pass('over 0 to 5 mag')
  t.end()
})

void t.test('no extinction in V is none anywhere', (t) => {
  for (const nm of [300, 440, 550, 656.3, 1100]) t.equal(extinctionAt(extinctionCurve(0), nm), 0, `${nm} nm`)
  t.end()
})

void t.test('molecules, ozone and aerosol by their own laws (Hayes & Latham 1975; Green 1992 for ozone)', (t) => {
  const k = extinctionAt(extinctionCurve(0.3), 510)
  const clearAt550 = rayleighExtinction({ wavelengthNm: 550, heightKm: 0 }) + (0.016 * 0.085) / 0.04
  const aerosol = (0.3 - clearAt550) * (510 / 550) ** -0.8
  near(t, k, rayleighExtinction({ wavelengthNm: 510, heightKm: 0 }) + 0.016 + aerosol, 1e-12, '510 nm')
  const clearer = extinctionAt(extinctionCurve(0.1), 900)
  near(t, clearer, (rayleighExtinction({ wavelengthNm: 900, heightKm: 0 }) * 0.1) / clearAt550, 1e-12, '900 nm')
  t.end()
})

void t.test('Table EX-B from its value at 5500 Å alone the curve gives each site within 0.05 mag', (t) => {
  for (const { site, magPerAirmass } of SITE_EXTINCTION.sites) {
    const curve = extinctionCurve(magPerAirmass[4])
    SITE_EXTINCTION.wavelengthsAngstrom.forEach((angstrom, index) => {
      if (angstrom === 3600) return
      within(t, extinctionAt(curve, angstrom / 10), Number(magPerAirmass[index]), 0.05, `${site}, ${angstrom} Å`)
    })
  }
  t.end()
})

void t.test('more aerosol makes the curve flatter (as stated with the site tables)', (t) => {
  const slope = (k: number): number => extinctionAt(extinctionCurve(k), 440) / extinctionAt(extinctionCurve(k), 656.3)
  t.ok(slope(0.2) < slope(0.15))
  t.ok(slope(0.4) < slope(0.2))
  near(t, slope(0.1), slope(0.05), 1e-12, 'below clear air the colour stays')
  t.end()
})

void t.test('ozone is strongest in the ultraviolet and has its bump at 600 nm', (t) => {
  const visible = OZONE_ABSORPTION.table.filter(({ wavelengthNm }) => wavelengthNm > 400)
  const peak = visible.reduce((best, point) => (point.value > best.value ? point : best))
  t.ok(peak.wavelengthNm >= 570 && peak.wavelengthNm <= 610)
  t.equal(OZONE_ABSORPTION.table[0].value, 10)
  t.end()
})

void t.test('what no air has is refused', (t) => {
  refuses(t, () => extinctionCurve(5.1), 'out-of-range', 'extinction')
  refuses(t, () => extinctionAt(extinctionCurve(0.2), 1200), 'out-of-range', 'wavelength')
  t.end()
})
