import t from 'tap'
import { starCeilingSnr, starStackBudget, starSubBudget, type StarInput } from '../../../src/engine/exposure/star.ts'
import { findRoot } from '../../../src/engine/root.ts'
import { near, within } from '../../support/near.ts'

/** The CCD equation's symbols: rates per second, n pixels, n_B background pixels, R, and G² s_f² for rounding. */
function star(it: {
  S: number
  t: number
  n?: number
  nB?: number
  sky?: number
  dark?: number
  R?: number
  rounding?: number
}): StarInput {
  return {
    starElectronsPerSecond: it.S,
    capturedFraction: 1,
    aperturePixels: it.n ?? 1,
    backgroundPixels: it.nB,
    squaredShares: 0,
    rates: {
      targetElectronsPerPixelSecond: 0,
      skyElectronsPerPixelSecond: it.sky ?? 0,
      darkElectronsPerPixelSecond: it.dark ?? 0,
    },
    readout: { readNoiseElectrons: it.R ?? 0, quantizationElectrons2: it.rounding ?? 0 },
    subSeconds: it.t,
    calibration: {},
  }
}

const snr = (it: Parameters<typeof star>[0]) => starSubBudget(star(it)).snr

void t.test('D-CCD-01 textbook star (Howell 2006, from memory)', (t) => {
  const it = { S: (24013 * 5) / 300, t: 300, nB: 200, sky: (620 * 5) / 300, dark: 22 / 3600, R: 5 }
  within(t, snr({ ...it, rounding: 25 * 0.289 ** 2 }), 342.054, 5e-4, 'ratio')
  t.end()
})

void t.test('D-CCD-03 noise and ratio of a star on bright sky (university course, problem 2)', (t) => {
  const budget = starSubBudget(star({ S: 720, t: 1000, n: 50, sky: 1440, dark: 2, R: 5 }))
  near(t, budget.noiseElectrons, 8533.54, 1e-6, 'noise')
  near(t, budget.snr, 84.373, 6e-6, 'ratio')
  t.end()
})

void t.test('D-CCD-04 Poisson noise only (university course, problem 1)', (t) => {
  near(t, snr({ S: 10, t: 100 }), 31.623, 1e-5, 'ratio')
  t.end()
})

void t.test('D-CCD-06 noise of the background estimate (mailing list, March 2005)', (t) => {
  const gain = 2.9
  const it = { S: 2675 * gain, t: 1, n: 30, R: 28.56 * gain }
  const budget = starSubBudget(star({ ...it, nB: 400 }))
  near(t, (budget.noiseElectrons / gain) ** 2, 27227.9, 2e-6, 'variance, ADU²')
  near(t, budget.shares.target, 922.4 / 27227.9, 1e-4, 'share of the star')
  near(t, budget.shares.read, (24470.2 + 1835.3) / 27227.9, 1e-6, 'share of aperture and background estimate')
  near(t, 1 / budget.snr, 0.06169, 8e-5, 'relative error')
  near(t, 2.5 / Math.LN10 / budget.snr, 0.06697, 8e-5, 'magnitudes')
  t.end()
})

void t.test('D-CCD-07 against a reference function (astropy 5.2.1)', (t) => {
  near(t, snr({ S: 4, t: 300, n: 28.27, sky: 2.5, dark: 0.05, R: 3.5 }), 7.883, 7e-7, 'ratio')
  t.end()
})

void t.test('D-CCD-08 source and sky in ADU (astropy 5.2.1)', (t) => {
  near(t, snr({ S: 2 * 0.8, t: 120, n: 12, sky: 0.8 * 0.8, dark: 0.01, R: 1.5 }), 5.6495, 9e-7, 'ratio')
  t.end()
})

void t.test('D-CCD-10 background estimated from ever fewer pixels (computed; Merline & Howell 1995)', (t) => {
  const it = { S: 5000, t: 1, n: 50, sky: 400, dark: 10, R: 4 }
  near(t, snr(it), 30.8313, 2e-6, 'no limit')
  near(t, snr({ ...it, nB: 500 }), 29.6539, 2e-6, '500')
  near(t, snr({ ...it, nB: 200 }), 28.1161, 2e-6, '200')
  near(t, snr({ ...it, nB: 50 }), 22.9175, 3e-6, '50')
  t.end()
})

void t.test('D-CCD-12 how the ratio grows with time (computed; Merline & Howell 1995)', (t) => {
  for (const { seconds, exponent } of [
    { seconds: 1, exponent: 0.999415 },
    { seconds: 5000, exponent: 0.572893 },
  ]) {
    const at = (length: number) => Math.log(snr({ S: 0.5, t: length, n: 20, sky: 0.05, R: 8 }))
    const h = 1e-4
    near(t, (at(seconds * Math.exp(h)) - at(seconds * Math.exp(-h))) / (2 * h), exponent, 1e-6, `at ${seconds} s`)
    const { shares } = starSubBudget(star({ S: 0.5, t: seconds, n: 20, sky: 0.05, R: 8 }))
    near(t, (1 + shares.read) / 2, exponent, 1e-6, 'the share of read noise says the same')
  }
  t.end()
})

void t.test('D-CCD-13 twice the time in the pure limits (computed; Merline & Howell 1995)', (t) => {
  const read = { S: 1e-18, t: 100, n: 20, R: 8 }
  near(t, snr({ ...read, t: 200 }) / snr(read), 2, 1e-15, 'read noise')
  const sky = { S: 1e-18, t: 100, n: 20, sky: 3 }
  near(t, snr({ ...sky, t: 200 }) / snr(sky), Math.SQRT2, 1e-15, 'sky')
  t.end()
})

void t.test('D-CCD-14 sixty minutes in pieces or in one (Schroeder, Astronomical Optics, 17.3)', (t) => {
  const pieces = (it: Parameters<typeof star>[0], subCount: number) =>
    starStackBudget({ ...star(it), subCount, combine: 'mean' }).snr
  const it = { S: 0.2, t: 60, n: 16, sky: 0.02, R: 5 }
  near(t, pieces(it, 60) / pieces({ ...it, t: 3600 }, 1), 0.296339, 2e-6, 'ratio')
  const read = { S: 1e-18, t: 60, n: 16, R: 5 }
  near(t, pieces(read, 60) / pieces({ ...read, t: 3600 }, 1), 0.129099, 4e-6, 'where read noise dominates')
  t.end()
})

void t.test('D-CCD-15 time for a ratio of 25 (computed; Merline & Howell 1995)', (t) => {
  const it = { S: 2, n: 20, sky: 1.2, dark: 0.02, R: 1.6 }
  const seconds = findRoot((length) => snr({ ...it, t: length }) - 25, 1, 1e6)
  near(t, seconds, 4126.94, 1e-6, 'seconds')
  const [r2, flow] = [625, 2 + 20 * 1.22]
  const closed = (r2 * flow + Math.sqrt(r2 ** 2 * flow ** 2 + 4 * 4 * r2 * 20 * 1.6 ** 2)) / 8
  near(t, seconds, closed, 1e-11, 'closed form')
  t.end()
})

void t.test('D-CCD-16 what a ratio is in magnitudes (computed)', (t) => {
  for (const { electrons, linear, brighter, fainter } of [
    { electrons: 25, linear: 0.217147, brighter: 0.197953, fainter: 0.242275 },
    { electrons: 1e4, linear: 0.0108574, brighter: 0.0108034, fainter: 0.010912 },
  ]) {
    const relative = 1 / snr({ S: electrons, t: 1 })
    near(t, (2.5 / Math.LN10) * relative, linear, 5e-6, 'linear')
    near(t, 2.5 * Math.log10(1 + relative), brighter, 5e-6, 'brighter side')
    near(t, -2.5 * Math.log10(1 - relative), fainter, 5e-6, 'fainter side')
  }
  t.end()
})

void t.test('D-PSF-15 a million photons on no background (Mighell 2003)', (t) => {
  t.equal(snr({ S: 1e6, t: 1, n: 1000 }), 1000)
  t.end()
})

void t.test('an extended target under the star is background, and counts as sky', (t) => {
  const plain = star({ S: 8, t: 100, n: 12, nB: 60, sky: 3, dark: 0.1, R: 4, rounding: 0.5 })
  const { signalElectrons, snr, noiseElectrons, shares } = starSubBudget({
    ...plain,
    capturedFraction: 0.75,
    rates: { ...plain.rates, skyElectronsPerPixelSecond: 1, targetElectronsPerPixelSecond: 2 },
  })
  // 12 pixels and a fifth of them again.
  const variance = 600 + 14.4 * (300 + 10 + 16 + 0.5)
  t.equal(signalElectrons, 600, 'what falls into the aperture')
  near(t, noiseElectrons, Math.sqrt(variance), 1e-15, 'noise')
  near(t, snr, 600 / Math.sqrt(variance), 1e-15, 'ratio')
  near(t, shares.target, 600 / variance, 1e-14, 'star')
  near(t, shares.sky, 4320 / variance, 1e-14, 'sky and extended target')
  near(t, shares.dark, 144 / variance, 1e-14, 'dark current')
  near(t, shares.read, 230.4 / variance, 1e-14, 'read noise')
  near(t, shares.quantization, 7.2 / variance, 1e-14, 'rounding')
  t.equal(shares.calibration, 0)
  t.end()
})

// Four pixels of an aperture with known shares of the star, so that what calibration leaves can be summed pixel by pixel.
const SHARES = [0.4, 0.3, 0.15, 0.05]
const PIXELS: StarInput = {
  ...star({ S: 50, t: 20, n: 4, nB: 16, sky: 3, dark: 0.1, R: 4 }),
  rates: { targetElectronsPerPixelSecond: 2, skyElectronsPerPixelSecond: 3, darkElectronsPerPixelSecond: 0.1 },
  capturedFraction: 0.9,
  squaredShares: 0.275,
  calibration: { darkFrames: 9, flatFrames: 10, flatElectrons: 20000 },
}
// Master dark (2 + 16)/9 on 5 effective pixels; master flat 1/200000 on the square of every pixel's 1000 fᵢ + 100 electrons,
// and on the 4²/16 · 100² that the background's own pixels bring along.
const LEFT = 5 * 2 + (SHARES.reduce((sum, share) => sum + (1000 * share + 100) ** 2, 0) + 100 ** 2) / 200000

void t.test('calibration leaves the error of every pixel in all subs alike', (t) => {
  // 900 electrons of star; 100 of sky and extended target, 2 of dark current and 16 of read noise a pixel.
  const single = 900 + 5 * (100 + 2 + 16)
  for (const { ditherPositions, repeats } of [
    { ditherPositions: 1, repeats: 144 },
    { ditherPositions: 3, repeats: 48 },
    { ditherPositions: 50, repeats: 12 },
  ]) {
    const calibration = { ...PIXELS.calibration, ditherPositions }
    const budget = starStackBudget({ ...PIXELS, calibration, subCount: 12, combine: 'mean' })
    t.equal(budget.signalElectrons, 10800)
    near(t, budget.noiseElectrons ** 2, 12 * single + repeats * LEFT, 1e-13, `${ditherPositions} pointings`)
    near(t, budget.shares.calibration, (repeats * LEFT) / (12 * single + repeats * LEFT), 1e-13, 'share')
    near(
      t,
      starCeilingSnr({ ...PIXELS, calibration }) ?? NaN,
      900 / Math.sqrt(LEFT / ditherPositions),
      1e-13,
      'ceiling',
    )
  }
  t.end()
})

void t.test('the estimator weighs the noise of the subs, not the error they share (Kenney & Keeping 1962)', (t) => {
  const budget = starStackBudget({ ...PIXELS, subCount: 3, combine: 'median' })
  near(t, budget.noiseElectrons ** 2, (3 * 1490) / 0.742934702 + 9 * LEFT, 1e-9, 'variance of a median of three')
  t.end()
})

void t.test('without calibration there is no ceiling', (t) => {
  t.equal(starCeilingSnr(star({ S: 8, t: 100, sky: 3 })), null)
  t.end()
})
