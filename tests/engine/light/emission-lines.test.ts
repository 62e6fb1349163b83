import fc from 'fast-check'
import t from 'tap'
import {
  airAngstrom,
  airIndex,
  EMISSION_LINES,
  EMISSION_MEASURE_PER_RAYLEIGH,
  emissionMeasure,
  LINE_RATIOS,
  RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2,
  rayleighErgPerSecondCm2,
  rayleighsOfPhotonsPerSecondCm2,
  TARGET_LINES,
  vacuumAngstrom,
} from '../../../src/engine/light/emission-lines.ts'
import { near, refuses, within } from '../../support/near.ts'

for (const { id, air, vacuum, absolute } of [
  { id: 'S-NB-01', air: 4861.363, vacuum: 4862.721, absolute: 0.002 },
  { id: 'S-NB-03', air: 6562.8, vacuum: 6564.613, absolute: 0.002 },
  { id: 'S-NB-11', air: 6056.125, vacuum: 6057.8019, absolute: 0.001 },
]) {
  void t.test(`${id} ${air} Å in air to vacuum (Morton 2000; published example)`, (t) => {
    within(t, vacuumAngstrom(air), vacuum, absolute, 'Å')
    t.end()
  })
}

void t.test('S-NB-02 5008.240 Å in vacuum to air (Morton 2000)', (t) => {
  within(t, airAngstrom(5008.24), 5006.843, 0.002, 'Å')
  t.end()
})

void t.test('S-NB-04 one rayleigh (Leinert et al. 1998: 1.8704e-6 photons/s/cm²/arcsec²)', (t) => {
  near(t, RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 / 1e4, 1.87042e-6, 1e-5, 'photons/s/cm²/arcsec²')
  near(t, rayleighsOfPhotonsPerSecondCm2(1.87042e-6), 1, 1e-5, 'and back')
  t.end()
})

void t.test('S-SP-01 one rayleigh per Å (computed)', (t) => {
  near(t, RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 * 1e4, 187.042, 1e-5, 'photons/s/m²/µm/arcsec²')
  t.end()
})

void t.test('S-NB-05 energy of one rayleigh at H-alpha (published 2.41e-7 and 5.661e-18)', (t) => {
  const { perSteradian, perArcsec2 } = rayleighErgPerSecondCm2(6562.8)
  near(t, perSteradian, 2.4087e-7, 1e-4, 'erg/s/cm²/sr')
  near(t, perArcsec2, 5.6614e-18, 1e-4, 'erg/s/cm²/arcsec²')
  t.end()
})

void t.test('S-NB-06, S-NB-12 energy of one rayleigh at H-beta and [O III] (published 7.643e-18)', (t) => {
  near(t, rayleighErgPerSecondCm2(4861.32).perArcsec2, 7.643e-18, 1e-4, 'H-beta')
  near(t, rayleighErgPerSecondCm2(5006.843).perArcsec2, 7.4208e-18, 1e-4, '[O III]')
  t.end()
})

void t.test('S-NB-07 emission measure of 0.20 R (Hausen et al. 2002: 0.55 pc cm-6)', (t) => {
  near(t, emissionMeasure({ line: 'h-alpha', rayleighs: 0.2, temperatureKelvin: 1e4 }), 0.55, 1e-9, 'pc cm-6')
  t.end()
})

void t.test('S-NB-08 H-alpha over H-beta in photons and in energy (emission-measure formulas)', (t) => {
  const photons = EMISSION_MEASURE_PER_RAYLEIGH['h-beta'] / EMISSION_MEASURE_PER_RAYLEIGH['h-alpha']
  near(t, photons, 2.8509, 1e-4, 'photons')
  const energy =
    (photons * rayleighErgPerSecondCm2(6562.8).perSteradian) / rayleighErgPerSecondCm2(4861.33).perSteradian
  near(t, energy, 2.1118, 1e-4, 'energy')
  near(t, photons, LINE_RATIOS.hydrogenAlphaOverBeta, 0.01, 'case B, from memory')
  t.end()
})

void t.test('S-NB-13 airglow of 320 R on 1 m² and 1 arcsec² (1992PhDT.........8J)', (t) => {
  near(t, 320 * RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2, 5.9854, 1e-4, 'photons/s')
  t.end()
})

void t.test('Table NB-A vacuum wavelengths and energies follow from the wavelengths in air (Morton 2000)', (t) => {
  const published = [
    [4862.69, 3.2517e-7, 7.643e-18],
    [4960.29, 3.1877e-7, 7.4926e-18],
    [5008.24, 3.1572e-7, 7.4208e-18],
    [6549.86, 2.4141e-7, 5.6742e-18],
    [6564.61, 2.4087e-7, 5.6614e-18],
    [6585.27, 2.4011e-7, 5.6437e-18],
    [6718.29, 2.3536e-7, 5.5319e-18],
    [6732.68, 2.3485e-7, 5.5201e-18],
    [5578.89, 2.8343e-7, 6.6618e-18],
    [6302.05, 2.509e-7, 5.8973e-18],
  ] as const
  t.equal(EMISSION_LINES.lines.length, published.length)
  EMISSION_LINES.lines.forEach(({ name, airAngstrom: air }, index) => {
    const [vacuum, perSteradian, perArcsec2] = published[index] ?? [0, 0, 0]
    within(t, vacuumAngstrom(air), vacuum, 0.0051, `${name}, vacuum`)
    near(t, rayleighErgPerSecondCm2(air).perSteradian, perSteradian, 2e-5, `${name}, per steradian`)
    near(t, rayleighErgPerSecondCm2(air).perArcsec2, perArcsec2, 2e-5, `${name}, per arcsec²`)
  })
  t.end()
})

void t.test('the shares of every target line make one, at wavelengths of the table', (t) => {
  const known = EMISSION_LINES.lines.map((line) => line.airAngstrom)
  for (const [name, parts] of Object.entries(TARGET_LINES)) {
    near(
      t,
      parts.reduce((sum, part) => sum + part.share, 0),
      1,
      1e-12,
      name,
    )
    for (const { airNm } of parts) {
      t.ok(
        known.some((angstrom) => Math.abs(angstrom - airNm * 10) < 1e-6),
        `${name} at ${airNm} nm`,
      )
    }
  }
  t.same(TARGET_LINES['o-iii'], [{ airNm: 500.684, share: 1 }], 'o-iii is 5007 alone')
  t.end()
})

void t.test('air to vacuum and back', (t) => {
  fc.assert(
    fc.property(fc.double({ min: 2100, max: 19000, noNaN: true }), (air) => {
      return Math.abs(airAngstrom(vacuumAngstrom(air)) / air - 1) < 1e-12
    }),
    { numRuns: 200, seed: 109 },
  )
  t.ok(airIndex(5000) > airIndex(7000), 'blue light is bent more')
  t.end()
})

void t.test('emission measure grows with temperature to the power 0.9', (t) => {
  const at = (temperatureKelvin: number): number => emissionMeasure({ line: 'h-beta', rayleighs: 1, temperatureKelvin })
  near(t, at(2e4) / at(1e4), 2 ** 0.9, 1e-12, 'twice as hot')
  near(t, at(1e4), 7.84, 1e-12, 'H-beta at 10 000 K')
  t.end()
})

void t.test('wavelengths, rates and temperatures out of range are refused', (t) => {
  refuses(t, () => airIndex(1000), 'out-of-range', 'too short')
  refuses(t, () => vacuumAngstrom(NaN), 'out-of-range', 'no number')
  refuses(t, () => rayleighErgPerSecondCm2(0), 'out-of-range', 'no wavelength')
  const cold = { line: 'h-alpha', rayleighs: 1, temperatureKelvin: 10 } as const
  refuses(t, () => emissionMeasure(cold), 'out-of-range', 'too cold')
  refuses(t, () => emissionMeasure({ ...cold, temperatureKelvin: 1e4, rayleighs: -1 }), 'out-of-range', 'negative')
  t.end()
})
