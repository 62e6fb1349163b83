import t from 'tap'
import { integrate } from '../../../src/engine/quadrature.ts'
import { moonlightIntegral, skyIntegrals, solarIntegral } from '../../../src/engine/light/band-integrals.ts'
import { extinctionAt, extinctionCurve } from '../../../src/engine/light/extinction-curve.ts'
import { LAMP_NAMES, LAMP_STEPS, SOLAR_V_ZERO_SPECTRUM, SUN_STEPS } from '../../../src/engine/light/lamp-spectra.ts'
import type { Response } from '../../../src/engine/light/response.ts'
import { responseAt } from '../../../src/engine/light/response.ts'
import type { StepSpectrum } from '../../../src/engine/light/spectrum.ts'
import { spectrumMean } from '../../../src/engine/light/spectrum.ts'
import { V_ZERO_PHOTONS_PER_SECOND_M2_NM } from '../../../src/engine/light/zero-points.ts'
import { near, refuses } from '../../support/near.ts'
import { monoResponse, planeResponse } from './support.ts'

const quantumEfficiency = [
  { wavelengthNm: 300, value: 0.1 },
  { wavelengthNm: 437, value: 0.8 },
  { wavelengthNm: 555, value: 0.9 },
  { wavelengthNm: 1000, value: 0.05 },
]
const wide = planeResponse({
  color: 'mono',
  quantumEfficiency,
  opticsTransmission: 0.9,
  filter: { band: 'none' },
  infraredBlocker: 'none',
})

/** The same integral by brute force: pieces of 0.1 nm, on none of which anything bends. */
function byBruteForce(response: Response, spectrum: StepSpectrum, transmission: (nm: number) => number): number {
  let sum = 0
  for (let tenth = 3000; tenth < 11000; tenth++) {
    const fromNm = tenth / 10
    const toNm = (tenth + 1) / 10
    const value = spectrumMean({ spectrum, fromNm, toNm })
    sum += value * integrate((nm) => responseAt(response, nm) * transmission(nm), fromNm, toNm)
  }
  return sum
}

void t.test('a filter of one nm sees the lamp and the sky there, times its width', (t) => {
  const response = monoResponse({ centerNm: 545, widthNm: 1, transmission: 0.5 })
  const { lamps, continuum, airglowLines, geocorona } = skyIntegrals(response)
  for (const name of LAMP_NAMES) {
    const there = spectrumMean({ spectrum: LAMP_STEPS[name], fromNm: 544.9, toNm: 545.1 })
    near(t, lamps[name], 0.5 * there * V_ZERO_PHOTONS_PER_SECOND_M2_NM, 1e-9, name)
  }
  near(t, continuum, 0.5 * 0.664 * 0.187042, 1e-5, 'continuum of 0.664 R/Å')
  t.equal(airglowLines, 0)
  t.equal(geocorona, 0)
  t.end()
})

void t.test('airglow lines and the geocorona count when inside the filter', (t) => {
  const rayleigh = 1.87042e-2
  const lines = (centerNm: number): number =>
    skyIntegrals(monoResponse({ centerNm, widthNm: 2, transmission: 0.5 })).airglowLines
  near(t, lines(557.7), 0.5 * 250 * rayleigh, 1e-5, '5577 Å')
  near(t, lines(589.3), 0.5 * 50 * rayleigh, 1e-5, 'sodium, both lines')
  near(t, lines(630), 0.5 * 150 * rayleigh, 1e-5, '6300 Å')
  near(t, lines(636.4), 0.5 * 50 * rayleigh, 1e-5, '6364 Å')
  t.equal(lines(610), 0, 'between them')
  near(t, skyIntegrals(monoResponse({ band: 'h-alpha' })).geocorona, 0.9 * 5 * rayleigh, 1e-5, 'geocorona')
  t.end()
})

void t.test('integrals with extinction agree with brute force to 1e-9', (t) => {
  for (const [extinctionMagPerAirmass, airmass] of [
    [0.28, 1.3],
    [0.1, 5],
    [0.6, 37],
  ] as const) {
    const curve = extinctionCurve(extinctionMagPerAirmass)
    const expected = byBruteForce(wide, SOLAR_V_ZERO_SPECTRUM, (nm) => 10 ** (-0.4 * airmass * extinctionAt(curve, nm)))
    const actual = solarIntegral({ response: wide, extinctionMagPerAirmass, airmass })
    near(t, actual, expected, 1e-9, `${extinctionMagPerAirmass} mag, airmass ${airmass}`)
  }
  t.end()
})

void t.test('moonlight is the Sun times what is scattered, 1 at 550 nm', (t) => {
  const curve = extinctionCurve(0.2)
  const passed = (nm: number, airmass: number): number => 10 ** (-0.4 * airmass * extinctionAt(curve, nm))
  const scattered = (nm: number): number => passed(nm, 2) * (1 - passed(nm, 1.2))
  const expected = byBruteForce(wide, SUN_STEPS, (nm) => scattered(nm) / scattered(550))
  const actual = moonlightIntegral({ response: wide, extinctionMagPerAirmass: 0.2, airmass: 1.2, moonAirmass: 2 })
  near(t, actual, expected * V_ZERO_PHOTONS_PER_SECOND_M2_NM, 1e-9, 'a wide band')
  t.end()
})

void t.test('moonlight is bluer than the Sun, and reddens as the Moon sinks', (t) => {
  const ratio = (moonAirmass: number): number => {
    const at = (centerNm: number): number =>
      moonlightIntegral({
        response: monoResponse({ centerNm, widthNm: 10, transmission: 1 }),
        extinctionMagPerAirmass: 0.2,
        airmass: 1.2,
        moonAirmass,
      })
    return at(450) / at(650)
  }
  const sun =
    spectrumMean({ spectrum: SUN_STEPS, fromNm: 445, toNm: 455 }) /
    spectrumMean({ spectrum: SUN_STEPS, fromNm: 645, toNm: 655 })
  t.ok(ratio(1) > sun, 'blue when high')
  t.ok(ratio(4) < ratio(1), 'redder when low')
  t.end()
})

void t.test('a kept integral is the one that a fresh response gives, after many others too', (t) => {
  const filter = { centerNm: 600, widthNm: 300, transmission: 0.77 }
  const first = monoResponse(filter)
  const at = (response: Response, airmass: number): number =>
    solarIntegral({ response, extinctionMagPerAirmass: 0.2, airmass })
  const values = Array.from({ length: 40 }, (_, index) => at(first, 1 + index / 10))
  t.same(
    Array.from({ length: 40 }, (_, index) => at(first, 1 + index / 10)),
    values,
  )
  const fresh = { ...first, pieces: [...first.pieces] }
  t.equal(at(fresh, 2), at(first, 2))
  t.not(solarIntegral({ response: first, extinctionMagPerAirmass: 0.3, airmass: 2 }), at(first, 2))
  const moon = (airmass: number, moonAirmass: number): number =>
    moonlightIntegral({ response: first, extinctionMagPerAirmass: 0.2, airmass, moonAirmass })
  t.not(moon(1.5, 2), moon(2, 1.5), 'Moon and target are not mixed up')
  const whole = { ...first, scale: 1 }
  t.equal(skyIntegrals(whole), skyIntegrals(whole), 'the parts of the sky are worked out once')
  t.equal(at({ ...first, scale: first.scale / 2 }, 2), at(first, 2) / 2, 'for all responses that differ by a number')
  t.equal(skyIntegrals({ ...first, scale: 0.5 }).lamps['led-3000k'], skyIntegrals(whole).lamps['led-3000k'] / 2)
  t.end()
})

void t.test('an extinction that no air has is refused', (t) => {
  const path = { response: wide, extinctionMagPerAirmass: 6, airmass: 1 }
  refuses(t, () => solarIntegral(path), 'out-of-range', 'starlight')
  refuses(t, () => moonlightIntegral({ ...path, moonAirmass: 1 }), 'out-of-range', 'moonlight')
  t.end()
})
