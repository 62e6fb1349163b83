// Frames simulated from first principles, whole through the library: what is measured against what was put in.

import t from 'tap'

import { FramePool, analyzeFrame } from '../../src/frames/index.ts'
import type { FrameAnalysis, FrameOptions } from '../../src/frames/index.ts'
import { seededRandom } from '../support/random.ts'
import { near, within } from '../support/near.ts'
import { card, chunks, plainFile, unsignedFile } from './support/fits-file.ts'
import { simulate, starField } from './support/simulate.ts'
import type { SimulatedFrame, SimulatedStar } from './support/simulate.ts'

const SIDE_PX = 1024
const AXES = [SIDE_PX, SIDE_PX]
const pool = new FramePool({ threads: 1 })
t.teardown(() => pool.close())

const dark: SimulatedFrame = {
  widthPx: SIDE_PX,
  heightPx: SIDE_PX,
  seed: 31,
  skyElectrons: 400,
  readNoiseElectrons: 2,
  electronsPerAdu: 2,
  offsetAdu: 500,
}

const SKY_ADU = 500 + 400 / 2
/** Photon noise, read noise and rounding, in ADU. */
const NOISE_ADU = Math.sqrt((400 + 2 ** 2) / 2 ** 2 + 1 / 12)

async function analyzed(file: Buffer, options: Partial<FrameOptions> = {}): Promise<FrameAnalysis> {
  return analyzeFrame(chunks(file), { pool, ...options })
}

const field = (fwhmPx: number, beta?: number): SimulatedStar[] =>
  starField({
    seed: 32,
    count: 100,
    widthPx: SIDE_PX,
    heightPx: SIDE_PX,
    faintest: 2000,
    brightest: 2e5,
    fwhmPx,
    margin: 40,
    ...(beta === undefined ? {} : { beta }),
  })

/** Mean ratio of measured to true flux of the brightest stars, and their largest error of place. */
function againstTruth({ stars }: FrameAnalysis, truth: readonly SimulatedStar[]): { flux: number; placePx: number } {
  const matches = stars.brightest.map((star) => {
    const distance = (other: SimulatedStar): number => Math.hypot(other.x + 1 - star.xPx, other.y + 1 - star.yPx)
    const nearest = truth.reduce((best, other) => (distance(other) < distance(best) ? other : best))
    return { ratio: (2 * star.fluxAdu) / nearest.fluxElectrons, placePx: distance(nearest) }
  })
  const flux = matches.reduce((sum, { ratio }) => sum + ratio, 0) / matches.length
  return { flux, placePx: Math.max(...matches.map(({ placePx }) => placePx)) }
}

void t.test('an empty sky: level within 0.1 ADU, noise within 1 %, no stars, no hot pixels', async (t) => {
  const analysis = await analyzed(unsignedFile(simulate(dark), AXES))
  const [plane] = analysis.planes
  within(t, plane?.backgroundAdu ?? NaN, SKY_ADU, 0.1, 'background')
  near(t, plane?.noiseAdu ?? NaN, NOISE_ADU, 0.01, 'noise')
  within(t, analysis.gradient?.cornerToCornerAdu ?? NaN, 0, 0.3, 'gradient')
  t.match(analysis.stars, { count: 0, measuredCount: 0, fwhmPx: null, eccentricity: null, brightest: [] })
  t.equal(analysis.hotPixels.share, 0)
  t.strictSame(analysis.conditions, [])
})

for (const [name, fwhmPx, beta] of [
  ['Gaussian of 2 pixels', 2, undefined],
  ['Gaussian of 4.5 pixels', 4.5, undefined],
  ['Moffat of 3 pixels, exponent 3', 3, 3],
  ['Moffat of 6 pixels, exponent 4.765', 6, 4.765],
] as const) {
  void t.test(`stars, a gradient and hot pixels, mono and Bayer: ${name}`, async (t) => {
    const stars = field(fwhmPx, beta)
    const frame = { ...dark, stars, acrossWidthElectrons: 120, acrossHeightElectrons: -50 }
    const file = unsignedFile(simulate({ ...frame, hotShare: 1e-3, hotElectrons: 2e4 }), AXES)
    for (const bayerPattern of [undefined, 'GRBG'] as const) {
      const analysis = await analyzed(file, { bayerPattern })
      const plane = analysis.planes.find(({ channel }) => channel === (bayerPattern ? 'green' : 'mono'))
      within(t, plane?.backgroundAdu ?? NaN, SKY_ADU, 0.1, 'background')
      near(t, plane?.noiseAdu ?? NaN, NOISE_ADU, 0.01, 'noise')
      near(t, analysis.gradient?.aduAcrossWidth ?? NaN, 60, 0.02, 'gradient across')
      near(t, analysis.gradient?.aduAcrossHeight ?? NaN, -25, 0.02, 'gradient down')
      near(t, analysis.gradient?.cornerToCornerAdu ?? NaN, 85, 0.02, 'gradient')
      near(t, analysis.stars.fwhmPx ?? NaN, fwhmPx, 0.03, 'width')
      within(t, analysis.stars.eccentricity ?? NaN, 0, 0.2, 'roundness')
      // The faintest are below the threshold when they are wide, and close pairs are one.
      t.ok(analysis.stars.count >= 85 && analysis.stars.count <= 101, `${analysis.stars.count} stars of 100`)
      near(t, analysis.hotPixels.share, 1e-3, 0.1, 'hot pixels')
      const { flux, placePx } = againstTruth(analysis, stars)
      near(t, flux, 1, beta === undefined ? 0.01 : 0.05, 'flux within the aperture')
      within(t, placePx, 0, 0.1, 'place')
      t.equal(analysis.stars.brightest.length, 10)
    }
  })
}

void t.test('a Bayer frame of unequal colours: every channel its own level', async (t) => {
  const responses = [1, 0.5, 0.25, 1] as const
  const stars = field(3)
  const analysis = await analyzed(unsignedFile(simulate({ ...dark, stars, responses }), AXES), { bayerPattern: 'GRBG' })
  const expected = { red: 0.5, green: 1, blue: 0.25 }
  for (const plane of analysis.planes) {
    const share = expected[plane.channel as keyof typeof expected]
    within(t, plane.backgroundAdu, 500 + 200 * share, 0.1, `${plane.channel} background`)
    near(t, plane.noiseAdu, Math.sqrt((400 * share + 4) / 4 + 1 / 12), 0.01, `${plane.channel} noise`)
  }
  near(t, analysis.stars.fwhmPx ?? NaN, 3, 0.03, 'width')
  near(t, againstTruth(analysis, stars).flux, 1, 0.02, 'flux in green')
  t.equal(analysis.stars.channel, 'green')
})

void t.test('three colour planes: stars in the green one', async (t) => {
  const stars = field(3)
  const red = simulate({ ...dark, seed: 33, skyElectrons: 200, widthPx: 511, heightPx: 513 })
  const green = simulate({ ...dark, seed: 34, stars, widthPx: 511, heightPx: 513 })
  const blue = simulate({ ...dark, seed: 35, skyElectrons: 100, widthPx: 511, heightPx: 513 })
  const analysis = await analyzed(unsignedFile([...red, ...green, ...blue], [511, 513, 3]))
  t.strictSame(
    analysis.planes.map(({ channel }) => channel),
    ['red', 'green', 'blue'],
  )
  for (const [index, level] of [600, 700, 550].entries()) {
    within(t, analysis.planes[index]?.backgroundAdu ?? NaN, level, 0.1, 'background')
  }
  t.equal(analysis.color, 'planes')
  near(t, analysis.stars.fwhmPx ?? NaN, 3, 0.03, 'width')
})

void t.test('floats and wide integers give what 16-bit integers give', async (t) => {
  const adu = simulate({ ...dark, stars: field(3, 3) })
  const short = await analyzed(unsignedFile(adu, AXES))
  const long = await analyzed(plainFile(adu, 32, AXES))
  const float = await analyzed(plainFile(adu, -32, AXES))
  const double = await analyzed(plainFile(adu, -64, AXES, [card('BSCALE', 2), card('BZERO', 1000)]))
  for (const other of [long, float]) {
    const { channel, ...figures } = other.planes[0] ?? { channel: 'mono' }
    for (const [figure, value] of Object.entries(figures)) {
      if (figure === 'clippedShare') continue
      const wanted = Number(short.planes[0]?.[figure as 'meanAdu'])
      within(t, Number(value), wanted, 1e-9 * wanted, `${channel} ${figure}`)
    }
    t.strictSame(other.stars.count, short.stars.count)
    near(t, other.stars.fwhmPx ?? NaN, short.stars.fwhmPx ?? NaN, 1e-4, 'width')
  }
  near(
    t,
    double.planes[0]?.backgroundAdu ?? NaN,
    1000 + 2 * (float.planes[0]?.backgroundAdu ?? NaN),
    1e-9,
    'scaled level',
  )
  near(t, double.planes[0]?.noiseAdu ?? NaN, 2 * (float.planes[0]?.noiseAdu ?? NaN), 1e-9, 'scaled noise')
  t.equal(float.planes[0]?.clippedShare, null)
  t.match(float.saturation, { adu: null, source: 'unknown' })
})

void t.test('clipped stars are counted but not measured, by code, by pile-up and by the given level', async (t) => {
  const stars = field(3)
  const bright = stars.filter(({ fluxElectrons }) => fluxElectrons > 5e4)
  const adu = simulate({ ...dark, stars, maximumAdu: 2000 })
  const analysis = await analyzed(unsignedFile(adu, AXES))
  t.match(analysis.saturation, { adu: 2000, source: 'pile-up' })
  const clipped = adu.reduce((sum, value) => sum + Number(value >= 2000), 0)
  near(t, analysis.planes[0]?.clippedShare ?? NaN, clipped / SIDE_PX ** 2, 1e-12, 'clipped share')
  t.ok(
    analysis.stars.clippedCount >= bright.length,
    `${analysis.stars.clippedCount} clipped, ${bright.length} far above`,
  )
  t.ok(analysis.stars.brightest.every(({ fluxAdu }) => fluxAdu < 3e4))
  near(t, analysis.stars.fwhmPx ?? NaN, 3, 0.03, 'width')
  const given = await analyzed(unsignedFile(adu, AXES), { saturationAdu: 1500 })
  t.match(given.saturation, { adu: 1500, source: 'given' })
  t.ok(given.stars.clippedCount > analysis.stars.clippedCount)
})

void t.test('an elongated frame: tracking that ran', async (t) => {
  const stars = field(3.5).map((star) => ({ ...star, axisRatio: 0.7 }))
  const analysis = await analyzed(unsignedFile(simulate({ ...dark, stars }), AXES))
  near(t, analysis.stars.eccentricity ?? NaN, Math.sqrt(1 - 0.7 ** 2), 0.03, 'eccentricity')
  near(t, analysis.stars.fwhmPx ?? NaN, 3.5, 0.03, 'width')
})

void t.test('missing pixels, blank or NaN, change nothing but their share', async (t) => {
  const adu = simulate({ ...dark, stars: field(3) })
  const isMissing = (at: number): boolean => at % 97 === 0 || (at > 300_000 && at < 320_000)
  const whole = await analyzed(unsignedFile(adu, AXES))
  const blank = await analyzed(
    unsignedFile(
      adu.map((value, at) => (isMissing(at) ? 65_535 : value)),
      AXES,
      [card('BLANK', 32_767)],
    ),
  )
  const float = await analyzed(
    plainFile(
      adu.map((value, at) => (isMissing(at) ? NaN : value)),
      -32,
      AXES,
    ),
  )
  const share = adu.reduce((sum, _, at) => sum + Number(isMissing(at)), 0) / adu.length
  for (const analysis of [blank, float]) {
    const [plane] = analysis.planes
    near(t, plane?.missingShare ?? NaN, share, 1e-12, 'missing share')
    within(t, plane?.backgroundAdu ?? NaN, SKY_ADU, 0.1, 'background')
    near(t, plane?.noiseAdu ?? NaN, NOISE_ADU, 0.01, 'noise')
    near(t, analysis.stars.fwhmPx ?? NaN, whole.stars.fwhmPx ?? NaN, 0.02, 'width')
    t.ok(analysis.hotPixels.share < 1e-5)
    t.ok((plane?.maximumAdu ?? NaN) < 65_535)
  }
})

void t.test('a tenth of the pixels missing, whatever stands for them, parts no star in two', async (t) => {
  const random = seededRandom(41)
  const adu = simulate({ ...dark, stars: field(3) })
  const isMissing = adu.map(() => Number(random.uniform() < 0.1))
  const holed = (hole: number) => adu.map((value, at) => (isMissing[at] === 1 ? hole : value))
  const whole = await analyzed(unsignedFile(adu, AXES))
  const files = {
    NaN: plainFile(holed(NaN), -32, AXES),
    infinite: plainFile(holed(Infinity), -32, AXES),
    'the highest code': unsignedFile(holed(65_535), AXES, [card('BLANK', 32_767)]),
    'the lowest code': unsignedFile(holed(0), AXES, [card('BLANK', -32_768)]),
  }
  for (const [name, file] of Object.entries(files)) {
    const { stars, hotPixels } = await analyzed(file)
    within(t, stars.count, whole.stars.count, 1, name)
    t.equal(stars.clippedCount, whole.stars.clippedCount, name)
    near(t, stars.fwhmPx ?? NaN, whole.stars.fwhmPx ?? NaN, 0.02, name)
    t.ok(hotPixels.share < 1e-5, name)
  }
})
