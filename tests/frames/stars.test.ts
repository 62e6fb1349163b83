// Finding and fitting stars, on pictures small enough to see through.

import t from 'tap'

import { saturationOf, saturationSample } from '../../src/frames/saturation.ts'
import { NO_STATISTICS } from '../../src/frames/sample-statistics.ts'
import { StarMask } from '../../src/frames/star-mask.ts'
import { starPeaks } from '../../src/frames/star-peaks.ts'
import { fitStar } from '../../src/frames/star-profile.ts'
import type { StarPixels } from '../../src/frames/star-profile.ts'
import { near, within } from '../support/near.ts'
import { expectedElectrons } from './support/simulate.ts'
import type { SimulatedStar } from './support/simulate.ts'

/** A star without noise, each pixel averaging the light that falls on it. */
function starPixels(star: Omit<SimulatedStar, 'x' | 'y'>, offset: { x: number; y: number }, reach: number): StarPixels {
  const side = 2 * reach + 1
  const electrons = expectedElectrons({
    widthPx: side,
    heightPx: side,
    seed: 0,
    skyElectrons: 0,
    readNoiseElectrons: 0,
    electronsPerAdu: 1,
    offsetAdu: 0,
    stars: [{ ...star, x: reach + offset.x, y: reach + offset.y }],
  })
  return {
    count: side * side,
    x: Float64Array.from(electrons, (_, at) => (at % side) - reach),
    y: Float64Array.from(electrons, (_, at) => Math.floor(at / side) - reach),
    height: electrons,
  }
}

void t.test(
  'widths of Gaussian and Moffat stars of 2 to 6 pixels, wherever their centers fall, within 3 % of 2 pixels, 1 % of 3 and up',
  (t) => {
    for (const beta of [undefined, 4.765, 3, 2.5]) {
      for (const fwhmPx of [2, 2.5, 3, 4, 6]) {
        for (const offset of [
          { x: 0, y: 0 },
          { x: 0.5, y: -0.5 },
          { x: -0.3, y: 0.2 },
        ]) {
          const star = { fluxElectrons: 1e4, fwhmPx, ...(beta === undefined ? {} : { beta }) }
          const pixels = starPixels(star, offset, Math.ceil(2 * fwhmPx) + 1)
          const peak = Math.max(...pixels.height)
          const fit = fitStar(pixels, { peak, fwhmPx: 1.2 * fwhmPx, wing: 0.3 })
          const what = `beta ${beta ?? 'infinite'}, width ${fwhmPx}`
          near(t, fit?.fwhmPx ?? NaN, fwhmPx, fwhmPx < 3 ? 0.03 : 0.01, what)
          within(t, fit?.x ?? NaN, offset.x, 0.01, `${what}: x`)
          within(t, fit?.y ?? NaN, offset.y, 0.01, `${what}: y`)
          within(t, fit?.eccentricity ?? NaN, 0, 0.1, `${what}: roundness`)
        }
      }
    }
    t.end()
  },
)

void t.test('an ellipse: e = sqrt(1 - b²/a²), and the width is the mean of both axes in the geometric sense', (t) => {
  const pixels = starPixels({ fluxElectrons: 1e4, fwhmPx: 4, axisRatio: 0.8 }, { x: 0.1, y: 0.2 }, 9)
  const fit = fitStar(pixels, { peak: Math.max(...pixels.height), fwhmPx: 4, wing: 0.3 })
  near(t, fit?.eccentricity ?? NaN, 0.6, 0.01, 'eccentricity')
  near(t, fit?.fwhmPx ?? NaN, 4, 0.005, 'width')
  t.end()
})

void t.test('the green pixels of a Bayer pattern alone give the same width', (t) => {
  const pixels = starPixels({ fluxElectrons: 1e4, fwhmPx: 2.5, beta: 3 }, { x: 0.25, y: -0.4 }, 6)
  const isGreen = [...pixels.x].map((x, at) => (x + (pixels.y[at] ?? 0)) % 2 !== 0)
  const only = (values: Float64Array): Float64Array => values.filter((_, at) => isGreen[at])
  const green = { count: only(pixels.x).length, x: only(pixels.x), y: only(pixels.y), height: only(pixels.height) }
  const fit = fitStar(green, { peak: Math.max(...green.height), fwhmPx: 3, wing: 0.3 })
  near(t, fit?.fwhmPx ?? NaN, 2.5, 0.02, 'width')
  t.end()
})

void t.test('no fit without enough pixels, and none to darkness', (t) => {
  const few = { count: 9, x: new Float64Array(9), y: new Float64Array(9), height: new Float64Array(9) }
  t.equal(fitStar(few, { peak: 10, fwhmPx: 3, wing: 0.3 }), undefined)
  const pixels = starPixels({ fluxElectrons: 0, fwhmPx: 3 }, { x: 0, y: 0 }, 5)
  const fit = fitStar(pixels, { peak: 10, fwhmPx: 3, wing: 0.3 })
  t.ok(fit === undefined || fit.peak < 10)
  t.end()
})

/** Cells of a drawing, each digit a height in tens of spreads. */
function cellsOf(drawing: readonly string[]): { cells: Int32Array; heights: Float32Array; perRow: number } {
  const perRow = drawing[0]?.length ?? 0
  const all = Array.from(drawing.join('')).map((digit, cell) => ({ cell, height: 10 * Number(digit) }))
  const bright = all.filter(({ height }) => height > 0)
  return {
    cells: Int32Array.from(bright, ({ cell }) => cell),
    heights: Float32Array.from(bright, ({ height }) => height),
    perRow,
  }
}

const peaksOf = (drawing: readonly string[]) => {
  const { cells, heights, perRow } = cellsOf(drawing)
  return starPeaks({ cells, heights }, perRow)
}

void t.test('every island has its peak, and two peaks are two stars when the saddle is deep enough', (t) => {
  t.strictSame(peaksOf(['0000000', '0120000', '0230080', '0000000']), [
    { cellX: 5, cellY: 2, height: 80, cellCount: 1 },
    { cellX: 2, cellY: 2, height: 30, cellCount: 4 },
  ])
  t.match(peaksOf(['095280']), [
    { cellX: 1, height: 90 },
    { cellX: 4, height: 80 },
  ])
  t.match(peaksOf(['099880']), [{ cellX: 1, height: 90, cellCount: 4 }], 'a shoulder')
  t.equal(peaksOf(['098980']).length, 1, 'ripple on a plateau')
  t.match(peaksOf(['999', '999', '999']), [{ cellX: 0, cellY: 0, cellCount: 9 }], 'a clipped disk is one star')
  t.end()
})

void t.test('neighbours do not wrap around the ends of rows', (t) => {
  t.equal(peaksOf(['00009', '90000']).length, 2)
  t.equal(peaksOf(['00090', '00009']).length, 1)
  t.end()
})

void t.test('the order of the cells does not matter, and faint islands are no stars', (t) => {
  const { cells, heights, perRow } = cellsOf(['0120000', '0230080', '0000000', '5000005'])
  const forward = starPeaks({ cells, heights }, perRow)
  t.strictSame(starPeaks({ cells: cells.toReversed(), heights: heights.toReversed() }, perRow), forward)
  t.strictSame(starPeaks({ cells: Int32Array.of(4), heights: Float32Array.of(5.9) }, 9), [])
  t.strictSame(starPeaks({ cells: new Int32Array(0), heights: new Float32Array(0) }, 9), [])
  t.end()
})

void t.test('the mask covers a star as far as its wing shows, in squares of four cells', (t) => {
  const mask = new StarMask(100, 50)
  mask.cover({ cellX: 40, cellY: 20, height: 500, cellCount: 30 }, 2)
  // r = 1 · sqrt((10000^0.4 − 1)/(2^0.4 − 1)) + 1 = 12.1 cells.
  t.equal(mask.endOfFree(0, 20), 24)
  t.equal(mask.endOfCovered(24, 20), 56)
  t.equal(mask.endOfFree(56, 20), 104, 'free to the end of the row')
  t.equal(mask.endOfFree(0, 40), 104, 'rows beyond the reach are free')
  t.equal(mask.endOfCovered(0, 20), 0)
  t.end()
})

void t.test('the mask of a star at the corner stays within the frame', (t) => {
  const mask = new StarMask(20, 20)
  mask.cover({ cellX: 0, cellY: 19, height: 1e6, cellCount: 5000 }, 4)
  t.equal(mask.endOfCovered(0, 19), 24)
  t.end()
})

const image = (bitsPerSample: 16 | -32) => ({
  widthPx: 8,
  heightPx: 8,
  planeCount: 1 as const,
  bitsPerSample,
  scale: { zeroAdu: bitsPerSample === 16 ? 32768 : 0, scaleAdu: 1 },
  blankSample: null,
  bayerPattern: null,
  hints: {
    ...{ exposureSeconds: null, exposureCards: null, temperatureCelsius: null },
    ...{ electronsPerAdu: null, unknownPattern: null },
  },
})

void t.test('the saturation level: given, shown by a pile-up, the largest code, or unknown', (t) => {
  const usual = {
    ...NO_STATISTICS,
    validCount: 1e6,
    median: 100,
    medianDeviation: 5,
    maximum: 4000,
    nearMaximumCount: 3,
  }
  const level = (bits: 16 | -32, atMaximumCount: number, others = {}, given?: number) =>
    saturationOf(image(bits), [{ ...usual, atMaximumCount, ...others }], given)
  t.strictSame(level(16, 900, {}, 1234), { adu: 1234, source: 'given' })
  t.strictSame(level(16, 900), { adu: 36768, source: 'pile-up' })
  t.strictSame(level(-32, 900), { adu: 4000, source: 'pile-up' })
  t.strictSame(level(16, 15), { adu: 65535, source: 'largest-code' }, 'too few')
  t.strictSame(level(16, 900, { nearMaximumCount: 300 }), { adu: 65535, source: 'largest-code' }, 'as many just below')
  t.strictSame(level(16, 900, { maximum: 170 }), { adu: 65535, source: 'largest-code' }, 'within the noise')
  t.strictSame(level(16, 900, { medianDeviation: 0 }), { adu: 65535, source: 'largest-code' }, 'no spread to judge by')
  t.strictSame(level(16, 900, { maximum: 32767 }), { adu: 65535, source: 'largest-code' })
  t.strictSame(level(-32, 1), { adu: null, source: 'unknown' })
  t.end()
})

void t.test('a level as a sample: half a step lower for integers, none at all where it is unknown', (t) => {
  t.equal(saturationSample(image(16), { adu: 65535, source: 'largest-code' }), 32766.5)
  t.equal(saturationSample(image(-32), { adu: 1, source: 'given' }), 1)
  t.equal(saturationSample(image(-32), { adu: null, source: 'unknown' }), Infinity)
  t.end()
})
