import fc from 'fast-check'
import t from 'tap'
import { quantizationVariance } from '../../../src/engine/detector/well.ts'
import { magnitudeError, secondsToStarSnr, starVariance } from '../../../src/engine/exposure/star-noise.ts'
import { near, refuses, within } from '../../support/near.ts'

interface Star {
  starElectrons: number
  aperturePixels: number
  backgroundPixels?: number
  backgroundVariancePerPx: number
}

const snr = (star: Star): number => star.starElectrons / Math.sqrt(starVariance(star))

const HOWELL = {
  starElectrons: 24013 * 5,
  aperturePixels: 1,
  backgroundPixels: 200,
  backgroundVariancePerPx: 620 * 5 + (22 * 300) / 3600 + 5 ** 2 + (5 * 0.289) ** 2,
}

void t.test('D-CCD-01 the textbook star (Howell 2006, 4.4, from memory: about 342)', (t) => {
  within(t, snr(HOWELL), 342.054, 0.05, 'SNR')
  t.end()
})

void t.test('D-CCD-02 magnitude error of the textbook star (computed)', (t) => {
  near(t, magnitudeError({ snr: snr(HOWELL) }).linearMag, 0.00317417, 2e-6, 'magnitudes')
  t.end()
})

void t.test('D-CCD-03 a bright star in 50 pixels (PHY217 example problem 2: noise 8534, SNR 84)', (t) => {
  const starElectrons = 600 * 1.2 * 1000
  const star = {
    starElectrons,
    aperturePixels: 50,
    backgroundVariancePerPx: 1200 * 1.2 * 1000 + 2 * 1000 + 5 ** 2,
  }
  within(t, Math.sqrt(starVariance(star)), 8533.54, 0.005, 'noise, electrons')
  within(t, snr(star), 84.373, 5e-4, 'SNR')
  t.end()
})

void t.test('D-CCD-04 photon noise alone (PHY217 example problem 1: 31.6)', (t) => {
  within(t, snr({ starElectrons: 1000, aperturePixels: 1, backgroundVariancePerPx: 0 }), 31.623, 5e-4, 'SNR')
  t.end()
})

void t.test('D-CCD-05 time to SNR 30 under a sky twice as bright (PHY217 example problem 3, computed)', (t) => {
  const seconds = secondsToStarSnr({
    snr: 30,
    starElectronsPerSecond: 1,
    backgroundElectronsPerPixelSecond: 2,
    readNoiseElectrons: 0,
    aperturePixels: 1,
  })
  near(t, seconds, 2700, 1e-12, 'seconds')
  t.end()
})

void t.test('D-CCD-06 the background estimate in ADU (worked example on a survey mailing list, 2005)', (t) => {
  const electronsPerAdu = 2.9
  const inAdu = (electrons2: number) => electrons2 / electronsPerAdu ** 2
  const star = {
    starElectrons: 2675 * electronsPerAdu,
    aperturePixels: 30,
    backgroundPixels: 400,
    backgroundVariancePerPx: (28.56 * electronsPerAdu) ** 2,
  }
  const wellKnown = { ...star, backgroundPixels: 1e18 }
  within(t, inAdu(starVariance({ ...wellKnown, aperturePixels: 1e-12 })), 922.4, 0.05, 'star, ADU²')
  within(t, inAdu(starVariance({ ...wellKnown, starElectrons: 0 })), 24470.2, 0.05, 'pixels of the aperture, ADU²')
  within(t, inAdu(starVariance(star) - starVariance(wellKnown)), 1835.3, 0.05, 'background estimate, ADU²')
  within(t, inAdu(starVariance(star)), 27227.9, 0.05, 'all, ADU²')
  within(t, 1 / snr(star), 0.06169, 5e-6, 'relative error')
  within(t, magnitudeError({ snr: snr(star) }).linearMag, 0.06697, 0.06697e-3, 'magnitudes')
  t.end()
})

void t.test('D-CCD-07 against the CCD function of astropy 5.2.1', (t) => {
  const star = {
    starElectrons: 4 * 300,
    aperturePixels: 28.27,
    backgroundVariancePerPx: (2.5 + 0.05) * 300 + 3.5 ** 2,
  }
  within(t, snr(star), 7.883, 5e-6, 'SNR')
  t.end()
})

void t.test('D-CCD-08 against the CCD function of astropy 5.2.1, with a gain', (t) => {
  const star = {
    starElectrons: 2 * 0.8 * 120,
    aperturePixels: 12,
    backgroundVariancePerPx: (0.8 * 0.8 + 0.01) * 120 + 1.5 ** 2,
  }
  within(t, snr(star), 5.6495, 5e-6, 'SNR')
  t.end()
})

void t.test('D-CCD-09 unit tests of the CCD function of astropy', (t) => {
  t.equal(snr({ starElectrons: 25, aperturePixels: 1, backgroundVariancePerPx: 0 }), 5)
  t.equal(snr({ starElectrons: 5 * 5, aperturePixels: 1, backgroundVariancePerPx: 0 }), 5)
  t.end()
})

void t.test('D-CCD-10 weight of the background estimate (computed)', (t) => {
  const star = { starElectrons: 5000, aperturePixels: 50, backgroundVariancePerPx: 400 + 10 + 16 }
  within(t, snr(star), 30.8313, 5e-5, 'known background')
  within(t, snr({ ...star, backgroundPixels: 500 }), 29.6539, 5e-5, '500 pixels')
  within(t, snr({ ...star, backgroundPixels: 200 }), 28.1161, 5e-5, '200 pixels')
  within(t, snr({ ...star, backgroundPixels: 50 }), 22.9175, 5e-5, '50 pixels')
  t.end()
})

void t.test('D-CCD-11 rounding to whole ADU (computed)', (t) => {
  near(t, quantizationVariance(5), 2.08333, 2e-6, 'K 5')
  near(t, (5 * 0.289) ** 2, 2.08802, 3e-6, 'as printed, with 0.289')
  near(t, quantizationVariance(0.25), 0.00520833, 1e-6, 'K 0.25')
  t.end()
})

void t.test('D-CCD-12 the time exponent runs from 1 to 1/2 (computed)', (t) => {
  const at = (seconds: number) =>
    snr({ starElectrons: 0.5 * seconds, aperturePixels: 20, backgroundVariancePerPx: 0.05 * seconds + 64 })
  const exponent = (seconds: number) => {
    const step = 1e-4
    return Math.log(at(seconds * (1 + step)) / at(seconds * (1 - step))) / Math.log((1 + step) / (1 - step))
  }
  within(t, exponent(1), 0.999415, 5e-7, '1 s')
  within(t, exponent(5000), 0.572893, 5e-7, '5000 s')
  t.end()
})

void t.test('D-CCD-13 twice the time in the pure limits (computed)', (t) => {
  const limit = (variancePerPx: (seconds: number) => number) => {
    const at = (seconds: number) =>
      snr({ starElectrons: 1e-9 * seconds, aperturePixels: 20, backgroundVariancePerPx: variancePerPx(seconds) })
    return at(200) / at(100)
  }
  near(
    t,
    limit(() => 64),
    2,
    1e-9,
    'read noise only',
  )
  near(
    t,
    limit((seconds) => 3 * seconds),
    Math.SQRT2,
    1e-9,
    'sky only',
  )
  t.end()
})

void t.test('D-CCD-14 sixty minutes in 60 subs or in one (Schroeder, Astronomical Optics, 17.3; computed)', (t) => {
  const star = (sky: number) => (seconds: number) =>
    snr({ starElectrons: 0.2 * seconds, aperturePixels: 16, backgroundVariancePerPx: sky * seconds + 25 })
  const at = star(0.02)
  within(t, (Math.sqrt(60) * at(60)) / at(3600), 0.296339, 5e-7, '60 subs against one')
  const faint = (seconds: number) =>
    snr({ starElectrons: 1e-12 * seconds, aperturePixels: 16, backgroundVariancePerPx: 25 })
  near(t, (Math.sqrt(60) * faint(60)) / faint(3600), 1 / Math.sqrt(60), 1e-9, 'read noise only')
  t.end()
})

void t.test('D-CCD-15 time to a signal-to-noise ratio (computed)', (t) => {
  const seconds = secondsToStarSnr({
    snr: 25,
    starElectronsPerSecond: 2,
    backgroundElectronsPerPixelSecond: 1.22,
    readNoiseElectrons: 1.6,
    aperturePixels: 20,
  })
  within(t, seconds, 4126.94, 0.005, 'seconds')
  t.end()
})

void t.test('D-CCD-16 magnitude errors, linear and exact (computed)', (t) => {
  const faint = magnitudeError({ snr: 5 })
  within(t, faint.linearMag, 0.217147, 5e-7, 'SNR 5, linear')
  within(t, faint.brightMag, 0.197953, 5e-7, 'SNR 5, bright side')
  within(t, faint.faintMag ?? 0, 0.242275, 5e-7, 'SNR 5, faint side')
  const bright = magnitudeError({ snr: 100 })
  within(t, bright.linearMag, 0.0108574, 5e-8, 'SNR 100, linear')
  within(t, bright.brightMag, 0.0108034, 5e-8, 'SNR 100, bright side')
  within(t, bright.faintMag ?? 0, 0.010912, 5e-8, 'SNR 100, faint side')
  t.equal(magnitudeError({ snr: 1 }).faintMag, null, 'at SNR 1 there may be no star')
  t.end()
})

void t.test('D-PSF-15 a million photons reach SNR 1000 (Mighell 2003)', (t) => {
  near(t, snr({ starElectrons: 1e6, aperturePixels: 12, backgroundVariancePerPx: 0 }), 1000, 1e-12, 'SNR')
  t.end()
})

void t.test('D-ADC-11 electrons for SNR 10 and 40 (levels of ISO 12232; computed)', (t) => {
  const electrons = (level: number, readNoiseElectrons: number) =>
    secondsToStarSnr({
      snr: level,
      starElectronsPerSecond: 1,
      backgroundElectronsPerPixelSecond: 0,
      readNoiseElectrons,
      aperturePixels: 1,
    })
  near(t, electrons(10, 0), 100, 1e-12, 'SNR 10, no read noise')
  near(t, electrons(40, 0), 1600, 1e-12, 'SNR 40, no read noise')
  within(t, electrons(10, 3), 108.31, 5e-4, 'SNR 10, 3 electrons')
  within(t, electrons(40, 3), 1608.95, 5e-3, 'SNR 40, 3 electrons')
  t.end()
})

const logScale = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((exponent) => 10 ** exponent)

void t.test('property: the time found gives the SNR asked for', (t) => {
  fc.assert(
    fc.property(
      fc.record({
        snr: logScale(-2, 3),
        starElectronsPerSecond: logScale(-1, 6),
        backgroundElectronsPerPixelSecond: fc.oneof(fc.constant(0), logScale(-6, 3)),
        readNoiseElectrons: fc.oneof(fc.constant(0), logScale(-2, 3)),
        aperturePixels: logScale(0, 3),
        backgroundPixels: logScale(0, 6),
      }),
      (star) => {
        const seconds = secondsToStarSnr(star)
        const reached = snr({
          starElectrons: star.starElectronsPerSecond * seconds,
          aperturePixels: star.aperturePixels,
          backgroundPixels: star.backgroundPixels,
          backgroundVariancePerPx: star.backgroundElectronsPerPixelSecond * seconds + star.readNoiseElectrons ** 2,
        })
        return Math.abs(reached / star.snr - 1) < 1e-9
      },
    ),
    { numRuns: 500, seed: 71 },
  )
  t.pass('500 stars')
  t.end()
})

void t.test('refuses what has no answer', (t) => {
  const star = {
    snr: 10,
    starElectronsPerSecond: 1,
    backgroundElectronsPerPixelSecond: 1,
    readNoiseElectrons: 1,
    aperturePixels: 10,
  }
  refuses(t, () => secondsToStarSnr({ ...star, starElectronsPerSecond: 0 }), 'no-signal', 'no star')
  refuses(t, () => secondsToStarSnr({ ...star, starElectronsPerSecond: 9e-13 }), 'no-signal', 'hardly a star')
  refuses(t, () => secondsToStarSnr({ ...star, starElectronsPerSecond: -1 }), 'out-of-range', 'negative star')
  refuses(t, () => secondsToStarSnr({ ...star, snr: 0 }), 'out-of-range', 'no goal')
  refuses(t, () => secondsToStarSnr({ ...star, aperturePixels: 0 }), 'out-of-range', 'no aperture')
  refuses(t, () => secondsToStarSnr({ ...star, backgroundPixels: 0.5 }), 'out-of-range', 'half a pixel')
  refuses(t, () => secondsToStarSnr({ ...star, readNoiseElectrons: -1 }), 'out-of-range', 'negative read noise')
  refuses(
    t,
    () => secondsToStarSnr({ ...star, backgroundElectronsPerPixelSecond: -1 }),
    'out-of-range',
    'negative background',
  )
  refuses(
    t,
    () => starVariance({ starElectrons: -1, aperturePixels: 1, backgroundVariancePerPx: 1 }),
    'out-of-range',
    'negative star',
  )
  refuses(
    t,
    () => starVariance({ starElectrons: 1, aperturePixels: 1, backgroundVariancePerPx: -1 }),
    'out-of-range',
    'negative variance',
  )
  refuses(t, () => magnitudeError({ snr: 0 }), 'out-of-range', 'no signal')
  t.end()
})
