import fc from 'fast-check'
import t from 'tap'
import {
  cornerPixelFraction,
  enclosedFraction,
  meanPeakPixelFraction,
  peakPixelFraction,
  pixelShare,
  radialGrowth,
  type Profile,
} from '../../../src/engine/detector/point-spread.ts'
import { near, refuses, within } from '../../support/near.ts'

const GAUSSIAN: Profile = { kind: 'gaussian' }
const moffat = (beta: number): Profile => ({ kind: 'moffat', beta })

const anyProfile = fc.oneof(
  fc.constant(GAUSSIAN),
  fc.double({ min: 1.5, max: 100, noNaN: true }).map((beta) => moffat(beta)),
)

void t.test('D-PSF-01 FWHM over σ is 2.35482005 (computed)', (t) => {
  near(
    t,
    enclosedFraction({ profile: GAUSSIAN, fwhmPx: 2.35482005, radiusPx: 1 }),
    1 - Math.exp(-0.5),
    1e-8,
    'light in 1 σ',
  )
  t.end()
})

const CENTRAL = [
  { id: 'D-PSF-02', fwhmPx: 1, gaussian: 0.57907, moffat4: 0.47139, moffat25: 0.39652, tolerance: 1e-5 },
  { id: 'D-PSF-03', fwhmPx: 1.5, gaussian: 0.32207, moffat4: 0.26109, moffat25: 0.21909, tolerance: 2e-5 },
  { id: 'D-PSF-04', fwhmPx: 2, gaussian: 0.19708, moffat4: 0.16017, moffat25: 0.13459, tolerance: 4e-5 },
  { id: 'D-PSF-05', fwhmPx: 3, gaussian: 0.093201, moffat4: 0.076011, moffat25: 0.06401, tolerance: 1e-5 },
  { id: 'D-PSF-06', fwhmPx: 4, gaussian: 0.053598, moffat4: 0.043784, moffat25: 0.036909, tolerance: 1.5e-5 },
]

for (const row of CENTRAL) {
  void t.test(`${row.id} central pixel at FWHM ${row.fwhmPx} px (computed with scipy 1.10.1)`, (t) => {
    const { fwhmPx, tolerance } = row
    near(t, peakPixelFraction({ profile: GAUSSIAN, fwhmPx }), row.gaussian, tolerance, 'Gaussian')
    near(t, peakPixelFraction({ profile: moffat(4), fwhmPx }), row.moffat4, tolerance, 'Moffat 4')
    near(t, peakPixelFraction({ profile: moffat(2.5), fwhmPx }), row.moffat25, tolerance, 'Moffat 2.5')
    t.end()
  })
}

void t.test('central pixel of a Gaussian against erf(1/(2√2 σ))² (scipy 1.10.1)', (t) => {
  near(t, peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 0.5 }), 0.9632800675778762, 1e-10, 'FWHM 0.5 px')
  near(t, peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 2 }), 0.19708345551836182, 1e-10, 'FWHM 2 px')
  near(t, peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 20 }), 0.0022038091790212654, 1e-10, 'FWHM 20 px')
  near(t, peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 0.001 }), 1, 1e-10, 'a point')
  t.end()
})

void t.test('D-PSF-07 a star on a pixel corner (computed)', (t) => {
  within(t, cornerPixelFraction({ profile: GAUSSIAN, fwhmPx: 2 }), 0.14477, 5e-6, 'Gaussian')
  within(t, cornerPixelFraction({ profile: moffat(2.5), fwhmPx: 2 }), 0.099129, 5e-7, 'Moffat 2.5')
  near(t, cornerPixelFraction({ profile: GAUSSIAN, fwhmPx: 0.01 }), 0.25, 1e-9, 'a point is shared by four')
  t.end()
})

void t.test('D-PSF-08 light within F/2, F and 2F of a Gaussian (computed; F confirmed with photutils 1.6.0)', (t) => {
  const within2F = (radiusPx: number) => enclosedFraction({ profile: GAUSSIAN, fwhmPx: 3, radiusPx })
  near(t, within2F(1.5), 0.5, 1e-12, 'F/2')
  near(t, within2F(3), 0.9375, 1e-12, 'F')
  within(t, within2F(6), 0.999985, 5e-7, '2F')
  t.end()
})

void t.test('D-PSF-09 light within F/2, F and 2F of a Moffat (computed)', (t) => {
  const at = (beta: number, radiusPx: number) => enclosedFraction({ profile: moffat(beta), fwhmPx: 2, radiusPx })
  const rows = [
    { radiusPx: 1, of25: 0.34025, of4: 0.4054 },
    { radiusPx: 2, of25: 0.70916, of4: 0.81558 },
    { radiusPx: 4, of25: 0.93382, of4: 0.98469 },
  ]
  for (const { radiusPx, of25, of4 } of rows) {
    within(t, at(2.5, radiusPx), of25, 5e-6, `β 2.5 within ${radiusPx} px`)
    within(t, at(4, radiusPx), of4, 5e-6, `β 4 within ${radiusPx} px`)
  }
  t.equal(at(4, 0), 0)
  t.end()
})

void t.test('D-PSF-16 star that fills the central pixel (computed)', (t) => {
  const electrons = 50000 / peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 2.5 })
  within(t, electrons, 380849, 0.5, 'electrons of the star')
  t.end()
})

void t.test('mean share of the pixel that holds the centre, against ∬ p (1 − |x|)(1 − |y|) (scipy 1.10.1)', (t) => {
  const rows = [
    { profile: GAUSSIAN, fwhmPx: 0.05, share: 0.9664039774787597 },
    { profile: GAUSSIAN, fwhmPx: 0.3, share: 0.8070343166399928 },
    { profile: GAUSSIAN, fwhmPx: 1, share: 0.440650148355873 },
    { profile: GAUSSIAN, fwhmPx: 2, share: 0.17820026541041176 },
    { profile: GAUSSIAN, fwhmPx: 3, share: 0.08880767663983127 },
    { profile: moffat(2.5), fwhmPx: 0.3, share: 0.7061355621140499 },
    { profile: moffat(2.5), fwhmPx: 1, share: 0.31299585719313133 },
    { profile: moffat(4), fwhmPx: 2, share: 0.1446812331160614 },
    { profile: moffat(1.5), fwhmPx: 3, share: 0.036950362386650074 },
  ]
  for (const { profile, fwhmPx, share } of rows) {
    near(t, meanPeakPixelFraction({ profile, fwhmPx }), share, 1e-9, `${profile.kind} of ${fwhmPx} px`)
  }
  t.end()
})

void t.test('pixels share out all of the light', (t) => {
  const growth = radialGrowth({ profile: GAUSSIAN, fwhmPx: 2 })
  let sum = 0
  for (let x = -8; x <= 8; x++) for (let y = -8; y <= 8; y++) sum += pixelShare(growth, x + 0.3, y - 0.1)
  near(t, sum, 1, 1e-12, 'sum over a field of 17 × 17')
  t.end()
})

void t.test('a Moffat of large β is a Gaussian to first order in 1/β', (t) => {
  const image = { fwhmPx: 2.2 }
  const gaussian = peakPixelFraction({ profile: GAUSSIAN, ...image })
  const gap = (beta: number) => 1 - peakPixelFraction({ profile: moffat(beta), ...image }) / gaussian
  near(t, gap(50) / gap(100), 2, 0.01, 'half the gap at twice the β')
  t.end()
})

void t.test('property: mean share lies between that of the corner and of the centre', (t) => {
  fc.assert(
    fc.property(anyProfile, fc.double({ min: -3, max: 4, noNaN: true }), (profile, logFwhm) => {
      const image = { profile, fwhmPx: 10 ** logFwhm }
      const mean = meanPeakPixelFraction(image)
      return (
        cornerPixelFraction(image) <= mean * (1 + 1e-9) && mean <= peakPixelFraction(image) * (1 + 1e-9) && mean > 0
      )
    }),
    { numRuns: 200, seed: 61 },
  )
  t.pass('200 images')
  t.end()
})

void t.test('property: wider stars put less on the central pixel', (t) => {
  fc.assert(
    fc.property(anyProfile, fc.double({ min: 0.3, max: 50, noNaN: true }), (profile, fwhmPx) => {
      return peakPixelFraction({ profile, fwhmPx }) > peakPixelFraction({ profile, fwhmPx: fwhmPx * 1.1 })
    }),
    { numRuns: 200, seed: 62 },
  )
  t.pass('200 images')
  t.end()
})

void t.test('refuses what no star image is', (t) => {
  refuses(t, () => peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 0 }), 'out-of-range', 'no width')
  refuses(t, () => peakPixelFraction({ profile: GAUSSIAN, fwhmPx: 1e7 }), 'out-of-range', 'too wide')
  refuses(t, () => meanPeakPixelFraction({ profile: GAUSSIAN, fwhmPx: Number.NaN }), 'out-of-range', 'not a number')
  refuses(t, () => peakPixelFraction({ profile: moffat(1.4), fwhmPx: 2 }), 'out-of-range', 'β too small')
  refuses(t, () => peakPixelFraction({ profile: moffat(101), fwhmPx: 2 }), 'out-of-range', 'β too large')
  refuses(t, () => enclosedFraction({ profile: GAUSSIAN, fwhmPx: 2, radiusPx: -1 }), 'out-of-range', 'negative radius')
  t.end()
})
