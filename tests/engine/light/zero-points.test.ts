import t from 'tap'
import {
  AB_BANDS,
  AB_MINUS_VEGA_MAG,
  abMagnitude,
  abMagnitudeOfPhotons,
  bandPhotonsPerSecondM2,
  ergPerSecondCm2AngstromOfJansky,
  photonsOfAbMagnitude,
  photonsPerSecondCm2Angstrom,
  photonsPerSecondM2OfJansky,
  V_ZERO_PHOTONS_PER_SECOND_M2_NM,
  ZERO_POINTS,
  ZERO_POINTS_1979,
} from '../../../src/engine/light/zero-points.ts'
import { relativeFlux } from '../../../src/engine/light/magnitudes.ts'
import { rayleighsOfPhotonsPerSecondCm2 } from '../../../src/engine/light/emission-lines.ts'
import { collectingAreaM2 } from '../../../src/engine/light/throughput.ts'
import { near, refuses, within } from '../../support/near.ts'

const { bands } = ZERO_POINTS

for (const { id, band, expected, published } of [
  { id: 'S-ZP-01', band: bands.V, expected: 996.2, published: 995.5 },
  { id: 'S-ZP-02', band: bands.B, expected: 1393.5, published: 1392.6 },
  { id: 'S-ZP-03', band: bands.R, expected: 702.5, published: 702.0 },
  { id: 'S-ZP-14', band: bands.I, expected: 452.3, published: 452.0 },
  { id: 'S-ZP-15', band: bands.U, expected: 756.6, published: 756.1 },
]) {
  void t.test(`${id} photon rate of magnitude 0 (Bessell, Castelli & Plez 1998, Table A2)`, (t) => {
    const rate = photonsPerSecondCm2Angstrom({
      ergPerSecondCm2Angstrom: band.ergPerSecondCm2Angstrom,
      wavelengthAngstrom: band.effectiveAngstrom,
    })
    near(t, rate, expected, 1e-4, 'computed rate')
    near(t, rate, published, 1e-3, 'published rate')
    t.equal(band.photonsPerSecondCm2Angstrom, published, 'the published rate is the one carried')
    t.end()
  })
}

void t.test('S-ZP-04 one jansky as a photon rate (published 1.51e7)', (t) => {
  near(t, photonsPerSecondM2OfJansky(1), 1.50919e7, 1e-5, 'per unit of ln λ')
  t.end()
})

void t.test('S-ZP-05 AB = 0 as a photon rate (Oke & Gunn 1983)', (t) => {
  near(t, photonsPerSecondM2OfJansky(3631), 5.4799e10, 1e-5, 'per unit of ln λ')
  t.end()
})

void t.test('S-ZP-06 the two definitions of AB agree (Oke & Gunn 1983)', (t) => {
  within(t, abMagnitude(3631e-23), -0.00007, 1e-5, 'magnitude of 3631 Jy')
  refuses(t, () => abMagnitude(0), 'no-solution', 'no flux')
  t.end()
})

void t.test('S-ZP-07 V = 23.90 star on 1 m² (published 2.42 photons/s)', (t) => {
  const rate = photonsPerSecondM2OfJansky(3640) * 0.16 * relativeFlux(23.9)
  near(t, rate, 2.421, 5e-4, 'photons per second')
  t.end()
})

void t.test('S-ZP-08 V = 0 on 1 m², the whole band (Bessell 1979)', (t) => {
  const { jansky, relativeWidth } = ZERO_POINTS_1979.bands.V
  near(t, photonsPerSecondM2OfJansky(jansky) * relativeWidth, 8.7895e9, 1e-4, 'photons per second')
  t.end()
})

void t.test('S-ZP-09 V = 10 through a 200 mm aperture (Bessell, Castelli & Plez 1998)', (t) => {
  const rate = bandPhotonsPerSecondM2({ ...bands.V, magnitude: 10 })
  near(t, rate * collectingAreaM2({ apertureMm: 200, obstructionMm: 0 }), 26583, 1e-4, 'photons per second')
  t.end()
})

void t.test('S-ZP-10 energy flux of AB = 0 at 5500 Å (computed)', (t) => {
  const flux = ergPerSecondCm2AngstromOfJansky({ jansky: 3631, wavelengthAngstrom: 5500 })
  near(t, flux, 3.5985e-9, 1e-4, 'erg/s/cm²/Å')
  t.end()
})

void t.test('S-ZP-11 photon rate of Vega at 5556 Å (Bohlin & Gilliland 2004)', (t) => {
  const rate = photonsPerSecondCm2Angstrom({ ergPerSecondCm2Angstrom: 3.46e-9, wavelengthAngstrom: 5556 })
  near(t, rate, 967.7, 1e-4, 'photons/s/cm²/Å')
  t.end()
})

void t.test('S-ZP-12 V = 22 per arcsec² (Bessell, Castelli & Plez 1998)', (t) => {
  near(t, bandPhotonsPerSecondM2({ ...bands.V, magnitude: 22 }), 13.411, 1e-4, 'photons/s/m²/arcsec²')
  t.end()
})

void t.test('S-CH-03 photon rate of an R = 12.80 star (published 8.6 from a stellar template)', (t) => {
  const rate = bandPhotonsPerSecondM2({ ...bands.R, widthAngstrom: 1591, magnitude: 12.8 }) / 1e4
  near(t, rate, 8.47, 1e-3, 'photons/s/cm²')
  near(t, rate, 8.6, 0.03, 'published')
  t.end()
})

void t.test('Table ZP-D photon rates at AB = 0 follow from 3631 Jy (Fukugita et al. 1996)', (t) => {
  for (const [name, band] of Object.entries(AB_BANDS.bands)) {
    const rate = photonsOfAbMagnitude({ abMagnitude: 0, wavelengthAngstrom: band.effectiveAngstrom })
    near(t, rate, band.photonsPerSecondCm2Angstrom, 1e-4, name)
  }
  t.end()
})

void t.test('S-SP-02 22.5 AB per arcsec² at 6720 Å (Viuho et al. 2025, AB assumed)', (t) => {
  const photons = photonsOfAbMagnitude({ abMagnitude: 22.5, wavelengthAngstrom: 6720 })
  near(t, photons, 8.1546e-7, 1e-4, 'photons/s/cm²/Å/arcsec²')
  near(t, rayleighsOfPhotonsPerSecondCm2(photons), 0.436, 1e-3, 'R/Å')
  near(t, photons * 1e4 * 1e4, 81.55, 1e-3, 'photons/s/m²/µm/arcsec²')
  t.end()
})

void t.test('S-SP-12 AB magnitude of 1 R/Å at 6563 and 5007 Å (computed)', (t) => {
  const oneRayleigh = 1 / rayleighsOfPhotonsPerSecondCm2(1)
  for (const [wavelengthAngstrom, expected] of [
    [6563, 21.6243],
    [5007, 21.9181],
  ] as const) {
    const magnitude = abMagnitudeOfPhotons({ photonsPerSecondCm2Angstrom: oneRayleigh, wavelengthAngstrom })
    within(t, magnitude, expected, 1e-4, `at ${wavelengthAngstrom} Å`)
  }
  t.end()
})

void t.test('S-SP-03, S-SP-04, S-SP-05 broadband skies as mean R/Å (Benn & Ellison 1998)', (t) => {
  for (const [band, magnitude, expected] of [
    [bands.B, 22.7, 0.6193],
    [bands.V, 21.9, 0.9249],
    [bands.R, 21.0, 1.4942],
  ] as const) {
    const photons = band.photonsPerSecondCm2Angstrom * relativeFlux(magnitude)
    near(t, rayleighsOfPhotonsPerSecondCm2(photons), expected, 1e-4, `magnitude ${magnitude}`)
  }
  t.end()
})

void t.test('the zero point of V in the units of the integrals', (t) => {
  near(t, V_ZERO_PHOTONS_PER_SECOND_M2_NM, 9.955e7, 1e-12, 'photons/s/m²/nm')
  t.end()
})

void t.test('Table ZP-C the sources of the AB offsets differ by no more than 0.3 mag', (t) => {
  for (const band of ['B', 'V', 'R', 'I'] as const) {
    const offsets = AB_MINUS_VEGA_MAG.map((row) => row[band])
    t.ok(Math.max(...offsets) - Math.min(...offsets) < 0.3, band)
  }
  t.end()
})
