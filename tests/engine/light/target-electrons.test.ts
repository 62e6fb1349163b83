import fc from 'fast-check'
import t from 'tap'
import { extinctionAt, extinctionCurve } from '../../../src/engine/light/extinction-curve.ts'
import { relativeFlux } from '../../../src/engine/light/magnitudes.ts'
import { lineElectrons, starElectrons, surfaceElectrons } from '../../../src/engine/light/target-electrons.ts'
import { collectingAreaM2 } from '../../../src/engine/light/throughput.ts'
import { near, refuses } from '../../support/near.ts'
import { monoResponse } from './support.ts'

const reflector = collectingAreaM2({ apertureMm: 200, obstructionMm: 70 })
const visual = monoResponse({ centerNm: 545, widthNm: 85, transmission: 0.9 }, 0.8, 0.8)
const open = monoResponse({ band: 'none' })
const hAlpha = monoResponse({ centerNm: 656.3, widthNm: 7, transmission: 0.9 }, 0.75, 0.85)

void t.test('S-CH-04 V = 15.0 star through a 200 mm reflector, grey extinction (Bessell et al. 1998)', (t) => {
  const box = monoResponse({ centerNm: 545, widthNm: 85, transmission: 1 })
  const above = { magnitude: 15, extinctionMagPerAirmass: 0, airmass: 1.3 }
  near(t, starElectrons({ response: box, ...above }) * reflector, 233.269, 1e-5, 'photons per second at the aperture')
  const electrons = starElectrons({ response: visual, ...above }) * reflector * relativeFlux(0.2 * 1.3)
  near(t, electrons, 105.75, 1e-5, 'electrons per second')
  t.end()
})

void t.test('S-CH-04 with extinction over wavelength it comes within 1 %, the band being wide', (t) => {
  const star = { response: visual, magnitude: 15, extinctionMagPerAirmass: 0.2, airmass: 1.3 }
  const electrons = starElectrons(star) * reflector
  near(t, electrons, 105.75, 0.01, 'electrons per second')
  const unobscured = starElectrons({ ...star, extinctionMagPerAirmass: 0 }) * reflector
  const curve = extinctionCurve(0.2)
  t.ok(electrons > unobscured * relativeFlux(1.3 * extinctionAt(curve, 502.5)), 'dimmed less than at the blue end')
  t.ok(electrons < unobscured * relativeFlux(1.3 * extinctionAt(curve, 587.5)), 'and more than at the red end')
  t.end()
})

void t.test('S-CH-05 the same system on a surface of 21.0, 1.5 arcsec per pixel (Bessell et al. 1998)', (t) => {
  const rate = surfaceElectrons({ response: visual, magPerArcsec2: 21, extinctionMagPerAirmass: 0, airmass: 1 })
  near(t, rate * reflector * 1.5 ** 2, 1.20354, 1e-5, 'electrons per pixel and second')
  t.end()
})

void t.test('S-NB-10, S-CH-07 50 R of H-alpha through an 80 mm refractor (computed)', (t) => {
  const rate = lineElectrons({
    response: hAlpha,
    line: 'h-alpha',
    rayleighs: 50,
    extinctionMagPerAirmass: 0,
    airmass: 1,
  })
  const perPixel = collectingAreaM2({ apertureMm: 80, obstructionMm: 0 }) * 2 ** 2
  near(t, rate * perPixel, 0.010789, 5e-5, 'electrons per pixel and second')
  t.end()
})

void t.test('S-NB-09 100 R of H-alpha on 1 m² and 1 arcsec² (computed)', (t) => {
  const rate = lineElectrons({
    response: open,
    line: 'h-alpha',
    rayleighs: 100,
    extinctionMagPerAirmass: 0.2,
    airmass: 0,
  })
  near(t, rate, 1.8704, 1e-4, 'photons per second above the atmosphere')
  t.end()
})

void t.test('a line counts when it is inside the filter, half of it when half of a pair is', (t) => {
  const electrons = (
    line: 'h-alpha' | 'h-beta' | 'o-iii' | 's-ii' | 'n-ii',
    centerNm: number,
    widthNm: number,
  ): number =>
    lineElectrons({
      response: monoResponse({ centerNm, widthNm, transmission: 1 }),
      line,
      rayleighs: 100,
      extinctionMagPerAirmass: 0,
      airmass: 1,
    })
  near(t, electrons('o-iii', 500.7, 3), 1.87042, 1e-5, '[O III]')
  t.equal(electrons('o-iii', 495.9, 3), 0, '4959 is not counted')
  near(t, electrons('s-ii', 672.4, 7), 1.87042, 1e-5, '[S II], both')
  near(t, electrons('s-ii', 671.6, 1), 1.87042 / 2, 1e-5, '[S II], one')
  t.equal(electrons('s-ii', 672.4, 1), 0, '[S II], a filter between the two')
  near(t, electrons('n-ii', 656.3, 7), 1.87042, 1e-5, '[N II] in a wide H-alpha filter')
  t.equal(electrons('n-ii', 656.3, 3), 0, 'and not in a narrow one')
  near(t, electrons('h-beta', 486.1, 3), 1.87042, 1e-5, 'H-beta')
  t.end()
})

void t.test('a line is dimmed by the extinction at its own wavelength', (t) => {
  const rate = (extinctionMagPerAirmass: number): number =>
    lineElectrons({ response: hAlpha, line: 'h-alpha', rayleighs: 50, extinctionMagPerAirmass, airmass: 1.5 })
  const dimming = relativeFlux(1.5 * extinctionAt(extinctionCurve(0.3), 656.28))
  near(t, rate(0.3) / rate(0), dimming, 1e-12, 'H-alpha')
  t.end()
})

void t.test('5 mag are a factor of 100, more air never gives more light', (t) => {
  const airmass = fc.double({ min: 0, max: 38, noNaN: true })
  const extinction = fc.double({ min: 0, max: 1, noNaN: true })
  fc.assert(
    fc.property(airmass, airmass, extinction, (a, b, extinctionMagPerAirmass) => {
      const star = (x: number, magnitude: number): number =>
        starElectrons({ response: visual, magnitude, extinctionMagPerAirmass, airmass: x })
      const [low, high] = [Math.min(a, b), Math.max(a, b)]
      const ratio = star(low, 10) / star(low, 15)
      return star(high, 10) <= star(low, 10) * (1 + 1e-12) && Math.abs(ratio / 100 - 1) < 1e-12
    }),
    { numRuns: 100, seed: 116 },
  )
  t.pass('at any airmass')
  t.end()
})

void t.test('targets and air that cannot be are refused', (t) => {
  const air = { response: visual, extinctionMagPerAirmass: 0.2, airmass: 1.2 }
  for (const [what, run] of [
    ['magnitude', () => starElectrons({ ...air, magnitude: 41 })],
    ['surface', () => surfaceElectrons({ ...air, magPerArcsec2: NaN })],
    ['extinction of a star', () => starElectrons({ ...air, magnitude: 10, extinctionMagPerAirmass: -0.1 })],
    ['airmass of a star', () => starElectrons({ ...air, magnitude: 10, airmass: 50 })],
    ['rayleighs', () => lineElectrons({ ...air, line: 'o-iii', rayleighs: -1 })],
    ['extinction of a line', () => lineElectrons({ ...air, line: 'o-iii', rayleighs: 1, extinctionMagPerAirmass: 6 })],
    ['airmass of a line', () => lineElectrons({ ...air, line: 'o-iii', rayleighs: 1, airmass: -1 })],
  ] as const) {
    refuses(t, run, 'out-of-range', what)
  }
  t.end()
})
