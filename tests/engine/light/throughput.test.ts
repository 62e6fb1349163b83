import fc from 'fast-check'
import t from 'tap'
import { MIRROR_COATINGS, SURFACES_IN_SERVICE } from '../../../src/engine/light/mirror-coatings.ts'
import {
  clearApertureShare,
  collectingAreaM2,
  fresnelReflectance,
  pixelScaleArcsec,
  quantumEfficiencyOfResponsivity,
  responsivityAmperePerWatt,
  surfacesTransmission,
} from '../../../src/engine/light/throughput.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('S-TH-01 clear area and factor of a 200 mm aperture with 70 mm obstruction (computed)', (t) => {
  const aperture = { apertureMm: 200, obstructionMm: 70 }
  near(t, collectingAreaM2(aperture), 0.027567, 2e-5, 'm²')
  near(t, collectingAreaM2(aperture), (Math.PI / 4) * (0.2 ** 2 - 0.07 ** 2), 1e-12, 'm², closed form')
  near(t, clearApertureShare(aperture), 0.8775, 1e-9, 'factor')
  t.end()
})

void t.test('S-TH-02 obstruction of 33 % of the diameter (computed; not 0.67)', (t) => {
  near(t, clearApertureShare({ apertureMm: 100, obstructionMm: 33 }), 0.8911, 1e-9, 'factor')
  t.end()
})

void t.test('S-TH-03 two mirrors of ideal aluminium at 5500 Å (Rakic 1995)', (t) => {
  near(t, surfacesTransmission({ sharePerSurface: 0.9154, surfaceCount: 2 }), 0.838, 1e-4, 'share')
  t.end()
})

void t.test('S-TH-04 reflectance of aluminium at 5500 Å (Rakic 1995, interpolated)', (t) => {
  near(t, fresnelReflectance({ refractiveIndex: 1.0152, extinctionCoefficient: 6.6273 }), 0.9154, 1e-4, 'share')
  t.end()
})

void t.test('S-TH-05 fused silica at 0.5876 µm (Malitson 1965)', (t) => {
  const square = 0.5876 ** 2
  const terms: [number, number][] = [
    [0.6961663, 0.0684043],
    [0.4079426, 0.1162414],
    [0.8974794, 9.896161],
  ]
  const refractiveIndex = Math.sqrt(terms.reduce((sum, [b, c]) => sum + (b * square) / (square - c ** 2), 1))
  near(t, refractiveIndex, 1.458462, 1e-6, 'index')
  const loss = fresnelReflectance({ refractiveIndex, extinctionCoefficient: 0 })
  near(t, loss, 0.034776, 2e-5, 'loss at a surface')
  near(t, surfacesTransmission({ sharePerSurface: 1 - loss, surfaceCount: 2 }), 0.93166, 1e-5, 'plate')
  t.end()
})

void t.test('S-TH-06 QE of 0.30 A/W at 550 nm (computed)', (t) => {
  near(t, quantumEfficiencyOfResponsivity({ amperePerWatt: 0.3, wavelengthNm: 550 }), 0.6763, 1e-4, 'QE')
  t.end()
})

void t.test('S-TH-07 two mirrors at 0.88 and an obstruction of 20 % (computed)', (t) => {
  const mirrors = surfacesTransmission({ sharePerSurface: 0.88, surfaceCount: 2 })
  near(t, mirrors * clearApertureShare({ apertureMm: 100, obstructionMm: 20 }), 0.7434, 1e-4, 'share')
  t.end()
})

void t.test('S-TH-08 responsivity of QE 0.80 at 656.3 nm (computed)', (t) => {
  near(t, responsivityAmperePerWatt({ quantumEfficiency: 0.8, wavelengthNm: 656.3 }), 0.4235, 1e-4, 'A/W')
  t.end()
})

void t.test('pixel scale is 206.265 pixel over focal length', (t) => {
  near(
    t,
    pixelScaleArcsec({ pixelSizeUm: 3.76, binning: 2, focalLengthMm: 480 }),
    (206.26480624709636 * 7.52) / 480,
    1e-12,
    'arcsec',
  )
  t.end()
})

void t.test('QE and responsivity undo each other', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.01, max: 1, noNaN: true }),
      fc.double({ min: 300, max: 1100, noNaN: true }),
      (quantumEfficiency, wavelengthNm) => {
        const amperePerWatt = responsivityAmperePerWatt({ quantumEfficiency, wavelengthNm })
        return (
          Math.abs(quantumEfficiencyOfResponsivity({ amperePerWatt, wavelengthNm }) / quantumEfficiency - 1) < 1e-12
        )
      },
    ),
    { numRuns: 100, seed: 110 },
  )
  t.pass('at any wavelength')
  t.end()
})

void t.test(
  'Table TH-A clean films lose less than mirrors in service, silver least (Rakic, McPeak, Johnson & Christy)',
  (t) => {
    const [first, second, silver] = MIRROR_COATINGS.coatings
    MIRROR_COATINGS.wavelengthsAngstrom.forEach((angstrom, index) => {
      const [a, b, c] = [first, second, silver].map(({ reflectance }) => Number(reflectance[index])) as [
        number,
        number,
        number,
      ]
      near(t, a, b, 0.01, `two sources of aluminium at ${angstrom} Å`)
      t.ok(c > a, `silver at ${angstrom} Å`)
    })
    const clean = Math.min(...first.reflectance.slice(0, 5))
    t.ok(clean > SURFACES_IN_SERVICE.aluminiumReflectance.to, 'clean aluminium in the visible')
    t.end()
  },
)

void t.test('telescopes, surfaces and detectors that cannot be are refused', (t) => {
  const aperture = { apertureMm: 200, obstructionMm: 70 }
  const pixel = { pixelSizeUm: 3.76, binning: 1, focalLengthMm: 480 }
  for (const [what, run] of [
    ['no aperture', () => collectingAreaM2({ ...aperture, apertureMm: 0 })],
    ['negative obstruction', () => collectingAreaM2({ ...aperture, obstructionMm: -1 })],
    ['nothing left', () => collectingAreaM2({ ...aperture, obstructionMm: 200 })],
    ['no pixel', () => pixelScaleArcsec({ ...pixel, pixelSizeUm: 0 })],
    ['no binning', () => pixelScaleArcsec({ ...pixel, binning: 0 })],
    ['no focal length', () => pixelScaleArcsec({ ...pixel, focalLengthMm: 0 })],
    ['more than all', () => surfacesTransmission({ sharePerSurface: 1.1, surfaceCount: 1 })],
    ['fewer than no surfaces', () => surfacesTransmission({ sharePerSurface: 1, surfaceCount: -1 })],
    ['no index', () => fresnelReflectance({ refractiveIndex: 0, extinctionCoefficient: 0 })],
    ['negative absorption', () => fresnelReflectance({ refractiveIndex: 1, extinctionCoefficient: -1 })],
    ['QE above 1', () => responsivityAmperePerWatt({ quantumEfficiency: 1.1, wavelengthNm: 500 })],
    ['wavelength in µm', () => responsivityAmperePerWatt({ quantumEfficiency: 1, wavelengthNm: 0.5 })],
    ['negative responsivity', () => quantumEfficiencyOfResponsivity({ amperePerWatt: -1, wavelengthNm: 500 })],
  ] as const) {
    refuses(t, run, 'out-of-range', what)
  }
  t.end()
})
