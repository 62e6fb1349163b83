import fc from 'fast-check'
import t from 'tap'
import { capturedFraction } from '../../../src/engine/detector/aperture.ts'
import { bestApertureRadiusPx, type ApertureQuestion } from '../../../src/engine/detector/best-aperture.ts'
import { noiseEquivalentAreaPx } from '../../../src/engine/detector/noise-equivalent-area.ts'
import { enclosedFraction, type Profile } from '../../../src/engine/detector/point-spread.ts'
import { starVariance } from '../../../src/engine/exposure/star-noise.ts'
import { near, refuses, within } from '../../support/near.ts'

const GAUSSIAN: Profile = { kind: 'gaussian' }
const moffat = (beta: number): Profile => ({ kind: 'moffat', beta })
const BEST_IN_FWHM = 0.673173

void t.test('D-PSF-12 best aperture of a faint, well sampled Gaussian is 0.673173 F (computed)', (t) => {
  const fwhmPx = 1000
  const radius = bestApertureRadiusPx({ profile: GAUSSIAN, fwhmPx, starElectrons: 0, backgroundVariancePerPx: 10 })
  near(t, radius / fwhmPx, BEST_IN_FWHM, 2e-6, 'radius in FWHM')
  within(t, enclosedFraction({ profile: GAUSSIAN, fwhmPx, radiusPx: radius }), 0.715332, 1e-6, 'encloses')
  t.end()
})

void t.test('D-PSF-13 fitting the profile gains 1.10802 over that aperture (Naylor 1998: about 10 %)', (t) => {
  const image = { profile: GAUSSIAN, fwhmPx: 1 }
  const enclosed = enclosedFraction({ ...image, radiusPx: BEST_IN_FWHM })
  const gain = Math.sqrt((Math.PI * BEST_IN_FWHM ** 2) / noiseEquivalentAreaPx(image)) / enclosed
  within(t, gain, 1.10802, 5e-6, 'gain')
  t.end()
})

void t.test('D-PSF-14 SNR away from the best radius (computed)', (t) => {
  const perRadius = (radiusPx: number) => enclosedFraction({ profile: GAUSSIAN, fwhmPx: 1, radiusPx }) / radiusPx
  const relative = (radiusPx: number) => perRadius(radiusPx) / perRadius(BEST_IN_FWHM)
  within(t, relative(0.5), 0.94106, 5e-6, '0.5 F')
  within(t, relative(0.68), 0.99992, 5e-6, '0.68 F')
  within(t, relative(1), 0.88225, 5e-6, 'F')
  within(t, relative(1.5), 0.62615, 5e-6, '1.5 F')
  t.end()
})

function snr(question: ApertureQuestion, radiusPx: number): number {
  const { backgroundVariancePerPx, backgroundPixels } = question
  const captured = capturedFraction({ ...question, radiusPx })
  // A star of no electrons stands for the limit of a faint one: one electron's signal, without its noise.
  const starElectrons = question.starElectrons * captured
  const variance = starVariance({
    starElectrons,
    aperturePixels: Math.PI * radiusPx ** 2,
    backgroundVariancePerPx,
    ...(backgroundPixels !== undefined && { backgroundPixels }),
  })
  return captured / Math.sqrt(variance)
}

/** Share of the best SNR on a fine ladder of radii that the advised radius gives up. */
function loss(question: ApertureQuestion): number {
  const advised = snr(question, bestApertureRadiusPx(question))
  let best = 0
  const scale = Math.max(0.5, question.fwhmPx)
  for (let step = 0; step <= 150; step++) best = Math.max(best, snr(question, (scale / 4) * 1.03 ** step))
  return 1 - advised / best
}

const anyProfile = fc.oneof(
  fc.constant(GAUSSIAN),
  fc.double({ min: 1.5, max: 20, noNaN: true }).map((beta) => moffat(beta)),
)
const logScale = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((exponent) => 10 ** exponent)
const question = (fwhm: fc.Arbitrary<number>): fc.Arbitrary<ApertureQuestion> =>
  fc
    .record({
      profile: anyProfile,
      fwhmPx: fwhm,
      starElectrons: fc.oneof(fc.constant(0), logScale(0, 7)),
      backgroundVariancePerPx: logScale(-1, 4),
      backgroundPixels: fc.option(logScale(0, 5), { nil: undefined }),
    })
    .map(({ backgroundPixels, ...rest }) => (backgroundPixels === undefined ? rest : { ...rest, backgroundPixels }))

void t.test('property: within 0.2 % of the best SNR there is, from 0.5 to 30 px', (t) => {
  fc.assert(
    fc.property(question(logScale(-0.3, 1.5)), (q) => loss(q) < 0.002),
    { numRuns: 300, seed: 66 },
  )
  t.pass('300 stars')
  t.end()
})

void t.test('property: within 0.2 % also for stars narrower than half a pixel', (t) => {
  fc.assert(
    fc.property(question(logScale(-1.5, -0.31)), (q) => loss(q) < 0.002),
    { numRuns: 12, seed: 67 },
  )
  t.pass('12 stars')
  t.end()
})

void t.test('property: brighter stars want larger apertures, brighter skies smaller ones', (t) => {
  fc.assert(
    fc.property(question(logScale(0.1, 1.5)), (q) => {
      const radius = bestApertureRadiusPx(q)
      const brighter = bestApertureRadiusPx({ ...q, starElectrons: q.starElectrons * 2 })
      const underGlow = bestApertureRadiusPx({ ...q, backgroundVariancePerPx: q.backgroundVariancePerPx * 2 })
      return brighter >= radius * (1 - 1e-8) && underGlow <= radius * (1 + 1e-8)
    }),
    { numRuns: 300, seed: 68 },
  )
  t.pass('300 stars')
  t.end()
})

void t.test('finite at the ends of every range', (t) => {
  for (const profile of [GAUSSIAN, moffat(1.5), moffat(100)]) {
    for (const fwhmPx of [2, 1e6]) {
      for (const [starElectrons, backgroundVariancePerPx] of [
        [0, 1e18],
        [1e18, 1e-12],
      ] as const) {
        const radiusPx = bestApertureRadiusPx({ profile, fwhmPx, starElectrons, backgroundVariancePerPx })
        const share = capturedFraction({ profile, fwhmPx, radiusPx })
        t.ok(radiusPx > 0 && share > 0 && share <= 1, `${profile.kind} ${fwhmPx} px: ${radiusPx} px hold ${share}`)
      }
    }
  }
  t.end()
})

void t.test('refuses questions without an answer', (t) => {
  const q = { profile: GAUSSIAN, fwhmPx: 2, starElectrons: 100, backgroundVariancePerPx: 10 }
  refuses(t, () => bestApertureRadiusPx({ ...q, backgroundVariancePerPx: 0 }), 'no-solution', 'no background noise')
  refuses(t, () => bestApertureRadiusPx({ ...q, backgroundVariancePerPx: -1 }), 'out-of-range', 'negative variance')
  refuses(t, () => bestApertureRadiusPx({ ...q, starElectrons: -1 }), 'out-of-range', 'negative star')
  refuses(t, () => bestApertureRadiusPx({ ...q, backgroundPixels: 0 }), 'out-of-range', 'no background pixels')
  refuses(t, () => bestApertureRadiusPx({ ...q, fwhmPx: 0 }), 'out-of-range', 'no width')
  t.end()
})
