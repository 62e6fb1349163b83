import t from 'tap'
import { rayleighsOfPhotonsPerSecondCm2 } from '../../../src/engine/light/emission-lines.ts'
import {
  DEFAULT_LAMP_SHARES,
  LAMP_NAMES,
  LAMP_SPECTRA,
  LAMP_STEPS,
  SOLAR_V_ZERO_SPECTRUM,
  SUN_SPECTRUM,
  SUN_STEPS,
} from '../../../src/engine/light/lamp-spectra.ts'
import { relativeFlux, subtractMagnitudes } from '../../../src/engine/light/magnitudes.ts'
import {
  AIRGLOW_LINES,
  GEOCORONA,
  NATURAL_SKY_CONTINUUM,
  NATURAL_SKY_SPECTRUM,
  OH_CONTINUUM,
} from '../../../src/engine/light/natural-sky-spectrum.ts'
import type { BinnedSpectrum, StepSpectrum } from '../../../src/engine/light/spectrum.ts'
import { spectrumMean } from '../../../src/engine/light/spectrum.ts'
import { V_ZERO_PHOTONS_PER_SECOND_M2_NM } from '../../../src/engine/light/zero-points.ts'
import { near, within } from '../../support/near.ts'

/** Photons s-1 m-2 nm-1 arcsec-2 in R/Å. */
const inRayleighsPerAngstrom = (photons: number): number => rayleighsOfPhotonsPerSecondCm2(photons / 1e4 / 10)

const naturalInRayleighs = NATURAL_SKY_SPECTRUM.map((step) => {
  const oh = step.fromNm >= 680 ? OH_CONTINUUM.rayleighsPerAngstrom : 0
  return { ...step, value: inRayleighsPerAngstrom(step.value) - oh }
})

const spectra: [string, BinnedSpectrum, StepSpectrum][] = [
  ['natural sky', NATURAL_SKY_CONTINUUM, naturalInRayleighs],
  ['Sun', SUN_SPECTRUM, SUN_STEPS],
  ...LAMP_NAMES.map((name): [string, BinnedSpectrum, StepSpectrum] => [name, LAMP_SPECTRA[name], LAMP_STEPS[name]]),
]

for (const [name, table, spectrum] of spectra) {
  void t.test(`Tables SP-A and SP-B every mean of ${name} comes back, and nothing is negative`, (t) => {
    table.binMeans.forEach((mean, index) => {
      const fromNm = 400 + 20 * index
      near(t, spectrumMean({ spectrum, fromNm, toNm: fromNm + 20 }), mean, 1e-12, `bin at ${fromNm} nm`)
    })
    for (const { centerAngstrom, widthAngstrom, mean } of table.windowMeans) {
      const fromNm = (centerAngstrom - widthAngstrom / 2) / 10
      const toNm = (centerAngstrom + widthAngstrom / 2) / 10
      near(
        t,
        spectrumMean({ spectrum, fromNm, toNm }),
        mean,
        1e-12,
        `window of ${widthAngstrom} Å at ${centerAngstrom} Å`,
      )
    }
    t.ok(Math.min(...spectrum.map((step) => step.value)) > 0, 'every step is positive')
    t.end()
  })
}

void t.test('beyond 700 nm the natural sky holds its last bin and has the OH bands on top', (t) => {
  const mean = spectrumMean({ spectrum: NATURAL_SKY_SPECTRUM, fromNm: 680, toNm: 1100 })
  near(t, inRayleighsPerAngstrom(mean), 0.658 + 2.29, 1e-12, 'R/Å')
  t.end()
})

void t.test('S-SP-07 natural sky in an H-alpha filter of 70 Å (Table SP-A)', (t) => {
  const mean = spectrumMean({ spectrum: NATURAL_SKY_SPECTRUM, fromNm: 652.8, toNm: 659.8 })
  near(t, inRayleighsPerAngstrom(mean) * 70 + GEOCORONA.rayleighs, 50.78, 1e-9, 'R')
  t.end()
})

void t.test('S-SP-08, S-SP-09 lamps over a total of 19.0 at 6563 Å (Table SP-B)', (t) => {
  const artificial = subtractMagnitudes({ total: 19, part: 21.9 })
  within(t, artificial, 19.0778, 1e-4, 'artificial part')
  const radiance = (spectrum: StepSpectrum): number =>
    spectrumMean({ spectrum, fromNm: 652.8, toNm: 659.8 }) * V_ZERO_PHOTONS_PER_SECOND_M2_NM * relativeFlux(artificial)
  near(t, radiance(LAMP_STEPS['led-4100k']) / 1e5, 1.8784e-5, 1e-4, 'white LED, photons/s/cm²/Å/arcsec²')
  near(t, inRayleighsPerAngstrom(radiance(LAMP_STEPS['led-4100k'])), 10.042, 1e-4, 'white LED, R/Å')
  near(t, inRayleighsPerAngstrom(radiance(LAMP_STEPS['high-pressure-sodium'])), 5.5, 1e-4, 'sodium, R/Å')
  t.end()
})

void t.test('the natural sky over the V box is V = 21.9 within the 5 % of the zero points', (t) => {
  const continuum = spectrumMean({ spectrum: NATURAL_SKY_SPECTRUM, fromNm: 502.5, toNm: 587.5 })
  const [oxygen] = AIRGLOW_LINES
  const rayleighsPerAngstrom = inRayleighsPerAngstrom(continuum) + oxygen.rayleighs / 850
  near(t, rayleighsPerAngstrom, 0.9249, 0.05, 'R/Å')
  t.end()
})

void t.test('airglow lines add up to 500 R', (t) => {
  t.equal(
    AIRGLOW_LINES.reduce((sum, line) => sum + line.rayleighs, 0),
    500,
  )
  t.end()
})

void t.test('a solar source of V = 0 has the zero point as its mean over the V box (Bessell et al. 1998)', (t) => {
  const mean = spectrumMean({ spectrum: SOLAR_V_ZERO_SPECTRUM, fromNm: 502.5, toNm: 587.5 })
  near(t, mean, 995.5 * 1e4 * 10, 1e-12, 'photons/s/m²/nm')
  t.end()
})

void t.test('the default mixture of lamps makes a whole', (t) => {
  near(
    t,
    DEFAULT_LAMP_SHARES['high-pressure-sodium'] + DEFAULT_LAMP_SHARES['led-3000k'] + DEFAULT_LAMP_SHARES['led-4100k'],
    1,
    1e-12,
    'shares',
  )
  t.end()
})
