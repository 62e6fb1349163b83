import fc from 'fast-check'
import t from 'tap'
import { capturedFraction } from '../../../src/engine/detector/aperture.ts'
import {
  enclosedFraction,
  peakPixelFraction,
  pixelShare,
  radialGrowth,
  type Profile,
  type StarImage,
} from '../../../src/engine/detector/point-spread.ts'
import { near, refuses, within } from '../../support/near.ts'

const GAUSSIAN: Profile = { kind: 'gaussian' }
const moffat = (beta: number): Profile => ({ kind: 'moffat', beta })

// Integral over the disc of the pixel-integrated profile with scipy 1.10.1: error functions for the Gaussian, and for the
// Moffat a mixture of Gaussians whose inverse variances follow a gamma distribution.
const REFERENCE = [
  { profile: GAUSSIAN, fwhmPx: 0.01, radiusPx: 0.5, captured: 0.78476465, absolute: 1e-3 },
  { profile: GAUSSIAN, fwhmPx: 0.03, radiusPx: 0.7, captured: 0.999252877, absolute: 3e-5 },
  { profile: moffat(2.5), fwhmPx: 0.03, radiusPx: 0.7, captured: 0.997805052, absolute: 3e-5 },
  { profile: GAUSSIAN, fwhmPx: 0.1, radiusPx: 0.5, captured: 0.765699673, absolute: 1e-8 },
  { profile: moffat(2.5), fwhmPx: 0.1, radiusPx: 0.5, captured: 0.740597324, absolute: 1e-8 },
  { profile: moffat(4), fwhmPx: 0.3, radiusPx: 0.35, captured: 0.357069107, absolute: 1e-8 },
  { profile: GAUSSIAN, fwhmPx: 0.5, radiusPx: 0.6, captured: 0.74496007, absolute: 3e-5 },
  { profile: moffat(2.5), fwhmPx: 0.7, radiusPx: 1, captured: 0.797353269, absolute: 2e-6 },
  { profile: GAUSSIAN, fwhmPx: 1, radiusPx: 0.5, captured: 0.369094792, absolute: 1e-7 },
  { profile: moffat(2.5), fwhmPx: 1, radiusPx: 0.5, captured: 0.259911275, absolute: 1e-7 },
  { profile: GAUSSIAN, fwhmPx: 1, radiusPx: 1.3, captured: 0.962364717, absolute: 1e-7 },
  { profile: moffat(1.5), fwhmPx: 1.5, radiusPx: 2, captured: 0.551341865, absolute: 1e-7 },
  { profile: GAUSSIAN, fwhmPx: 2, radiusPx: 1.3, captured: 0.649522718, absolute: 1e-8 },
  { profile: moffat(4), fwhmPx: 2, radiusPx: 10, captured: 0.999871196, absolute: 1e-8 },
  { profile: GAUSSIAN, fwhmPx: 3, radiusPx: 2, captured: 0.690170408, absolute: 1e-8 },
  { profile: moffat(2.5), fwhmPx: 4, radiusPx: 4, captured: 0.705566662, absolute: 1e-8 },
  { profile: moffat(4), fwhmPx: 6, radiusPx: 0.5, captured: 0.015390252, absolute: 1e-8 },
  { profile: GAUSSIAN, fwhmPx: 6, radiusPx: 10, captured: 0.999502066, absolute: 1e-8 },
]

for (const { profile, fwhmPx, radiusPx, captured, absolute } of REFERENCE) {
  const name = profile.kind === 'moffat' ? `Moffat ${profile.beta}` : 'Gaussian'
  void t.test(`${name} of ${fwhmPx} px in an aperture of ${radiusPx} px (scipy 1.10.1)`, (t) => {
    within(t, capturedFraction({ profile, fwhmPx, radiusPx }), captured, absolute, 'captured')
    t.end()
  })
}

/** Sum over the pixels whose centres lie inside, for stars on a lattice of places within a pixel. */
function directSum(image: StarImage, radiusPx: number, places: number): number {
  const growth = radialGrowth(image)
  const reach = Math.ceil(radiusPx) + 1
  let sum = 0
  for (let i = 0; i < places; i++) {
    for (let j = 0; j < places; j++) {
      const dx = (i + 0.5) / places / 2
      const dy = (j + 0.5) / places / 2
      for (let x = -reach; x <= reach; x++) {
        for (let y = -reach; y <= reach; y++) {
          if ((x - dx) ** 2 + (y - dy) ** 2 < radiusPx ** 2) sum += pixelShare(growth, x - dx, y - dy)
        }
      }
    }
  }
  return sum / places ** 2
}

void t.test('agrees with a direct sum over pixels, averaged over where the star falls', (t) => {
  const cases = [
    { image: { profile: GAUSSIAN, fwhmPx: 1 }, radiusPx: 0.5, places: 128 },
    { image: { profile: GAUSSIAN, fwhmPx: 3 }, radiusPx: 2, places: 64 },
    { image: { profile: moffat(2.5), fwhmPx: 2 }, radiusPx: 1.3, places: 96 },
    { image: { profile: moffat(4), fwhmPx: 6 }, radiusPx: 3.5, places: 48 },
  ]
  for (const { image, radiusPx, places } of cases) {
    const sum = directSum(image, radiusPx, places)
    within(t, capturedFraction({ ...image, radiusPx }), sum, 1e-4, `${image.fwhmPx} px in ${radiusPx} px`)
  }
  t.end()
})

void t.test('a small aperture collects the density of the central pixel', (t) => {
  const image = { profile: moffat(3), fwhmPx: 2.5 }
  const radiusPx = 1e-4
  near(
    t,
    capturedFraction({ ...image, radiusPx }) / (Math.PI * radiusPx ** 2),
    peakPixelFraction(image),
    1e-7,
    'share over area',
  )
  t.end()
})

void t.test('on a star of many pixels the pixels do not matter', (t) => {
  const question = { profile: moffat(2.5), fwhmPx: 500, radiusPx: 400 }
  near(t, capturedFraction(question), enclosedFraction(question), 1e-6, 'captured against enclosed')
  t.end()
})

void t.test('an aperture far larger than the star holds all of it and no more', (t) => {
  t.equal(capturedFraction({ profile: GAUSSIAN, fwhmPx: 2, radiusPx: 1e6 }), 1)
  near(t, capturedFraction({ profile: GAUSSIAN, fwhmPx: 0.05, radiusPx: 5 }), 1, 1e-12, 'narrow star')
  t.end()
})

const anyProfile = fc.oneof(
  fc.constant(GAUSSIAN),
  fc.double({ min: 1.5, max: 20, noNaN: true }).map((beta) => moffat(beta)),
)
const logScale = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((exponent) => 10 ** exponent)

void t.test('property: the captured share lies in (0, 1] and grows with the radius', (t) => {
  fc.assert(
    fc.property(anyProfile, logScale(-0.3, 2), logScale(-1.5, 2), (profile, fwhmPx, radiusPx) => {
      const share = capturedFraction({ profile, fwhmPx, radiusPx })
      const more = capturedFraction({ profile, fwhmPx, radiusPx: radiusPx * 1.02 })
      return share > 0 && share <= 1 && more >= share - 1e-12
    }),
    { numRuns: 500, seed: 63 },
  )
  t.pass('500 apertures')
  t.end()
})

void t.test('property: a narrow star too is captured in (0, 1], more of it in an aperture a tenth larger', (t) => {
  fc.assert(
    fc.property(anyProfile, logScale(-3, -0.31), logScale(-1, 1), (profile, fwhmPx, radiusPx) => {
      const share = capturedFraction({ profile, fwhmPx, radiusPx })
      const more = capturedFraction({ profile, fwhmPx, radiusPx: radiusPx * 1.1 })
      return share > 0 && share <= 1 && more >= share - 1e-9
    }),
    { numRuns: 100, seed: 64 },
  )
  t.pass('100 apertures')
  t.end()
})

void t.test('property: pixels spread light, so they never add to a Gaussian aperture', (t) => {
  fc.assert(
    fc.property(logScale(0, 2), logScale(0, 2), (fwhmPx, radiusPx) => {
      const question = { profile: GAUSSIAN, fwhmPx, radiusPx }
      return capturedFraction(question) <= enclosedFraction(question) + 1e-7
    }),
    { numRuns: 300, seed: 65 },
  )
  t.pass('300 apertures')
  t.end()
})

void t.test('refuses radii out of range', (t) => {
  refuses(t, () => capturedFraction({ profile: GAUSSIAN, fwhmPx: 2, radiusPx: 0 }), 'out-of-range', 'no aperture')
  refuses(t, () => capturedFraction({ profile: GAUSSIAN, fwhmPx: 2, radiusPx: 1e13 }), 'out-of-range', 'too large')
  t.end()
})
