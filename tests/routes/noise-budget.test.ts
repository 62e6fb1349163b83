// The noise budget as it is answered, against the CCD equation written anew here. Electrons thrown at it stand in
// `tests/simulation`.

import t from 'tap'
import type { z } from 'zod'
import type { NoiseBudgetAnswerSchema, NoiseBudgetRequestSchema } from '../../src/contract/noise-budget.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Request = z.input<typeof NoiseBudgetRequestSchema>
type Answer = z.infer<typeof NoiseBudgetAnswerSchema>

const send = await asker([noiseBudget])
const ask = (request: Request) => send<Answer>('/v1/noise-budget', request)

/** Target, sky and dark current in electrons per second; read noise; seconds; subs. */
const IT = { O: 0.3, S: 1.2, D: 0.4, R: 3, t: 120, N: 25 }
const CAMERA = {
  readNoiseElectrons: IT.R,
  darkCurrent: { electronsPerPixelSecond: IT.D, atCelsius: 0 },
  temperatureCelsius: 0,
}
const REQUEST: Request = {
  camera: CAMERA,
  sky: { electronsPerPixelSecond: IT.S },
  target: { electronsPerPixelSecond: IT.O },
  plan: { subSeconds: IT.t, subCount: IT.N },
}

const sum = (shares: Record<string, number>) => Object.values(shares).reduce((total, share) => total + share, 0)

void t.test('CCD equation, of one sub and of the stack', async (t) => {
  const { answer } = await ask(REQUEST)
  const { O, S, D, R, N } = IT
  const variance = (O + S + D) * IT.t + R ** 2
  near(t, answer.perSub.signalElectrons, O * IT.t, 1e-12, 'signal of a sub')
  near(t, answer.perSub.noiseElectrons ** 2, variance, 1e-12, 'variance of a sub')
  near(t, answer.stack.snr, (N * O * IT.t) / Math.sqrt(N * variance), 1e-12, 'ratio of the stack')
  const { target, sky, dark, read, quantization, calibration } = answer.stack.shares
  near(t, target, (O * IT.t) / variance, 1e-12, 'share of the target')
  near(t, sky, (S * IT.t) / variance, 1e-12, 'share of the sky')
  near(t, dark, (D * IT.t) / variance, 1e-12, 'share of the dark current')
  near(t, read, R ** 2 / variance, 1e-12, 'share of the read noise')
  t.same([quantization, calibration], [0, 0])
  t.equal(answer.dominantTerm, 'sky')
})

void t.test('master frames: what darks and flats leave, without dither and with', async (t) => {
  const { O, S, D, R, N } = IT
  const darkVariance = (D * IT.t + R ** 2) / 20
  const flatVariance = ((O + S) * IT.t) ** 2 / (25 * 9000)
  for (const ditherPositions of [undefined, 5, 25]) {
    const calibration = {
      darkFrames: 20,
      flatFrames: 25,
      flatElectrons: 9000,
      ...(ditherPositions && { ditherPositions }),
    }
    const { answer } = await ask({ ...REQUEST, plan: { ...REQUEST.plan, calibration } })
    const left = (N ** 2 / (ditherPositions ?? 1)) * (darkVariance + flatVariance)
    const variance = N * ((O + S + D) * IT.t + R ** 2) + left
    near(t, answer.stack.noiseElectrons ** 2, variance, 1e-12, `${ditherPositions ?? 1} positions`)
    near(t, answer.stack.shares.calibration, left / variance, 1e-12, 'its share')
    near(t, sum(answer.stack.shares), 1, 1e-12, 'all shares')
  }
})

void t.test('binning on the chip reads once, in software every pixel', async (t) => {
  const budgetOf = async (binningKind: 'on-chip' | 'software') => {
    const { answer } = await ask({ ...REQUEST, camera: { ...CAMERA, binning: 2, binningKind } })
    return answer.perSub
  }
  const light = (IT.O + IT.S + 4 * IT.D) * IT.t
  near(t, (await budgetOf('on-chip')).noiseElectrons ** 2, light + 9, 1e-12, 'one read noise; rates are the frame’s')
  near(t, (await budgetOf('software')).noiseElectrons ** 2, light + 4 * 9, 1e-12, 'four')
})

void t.test('rounding to whole ADU is added where the read noise is without it: gain²/12', async (t) => {
  const camera = { ...CAMERA, electronsPerAdu: 4, readNoiseIncludesQuantization: false }
  const { answer } = await ask({ ...REQUEST, camera })
  const variance = (IT.O + IT.S + IT.D) * IT.t + 9 + 16 / 12
  near(t, answer.perSub.noiseElectrons ** 2, variance, 1e-12, 'variance')
  near(t, answer.perSub.shares.quantization, 16 / 12 / variance, 1e-12, 'its share')
  const unknown = await ask({ ...REQUEST, camera: { ...CAMERA, readNoiseIncludesQuantization: false } })
  t.equal(unknown.status, 400)
  t.match(unknown.errors, [/^\/camera\/electronsPerAdu: missing/])
})

void t.test('a star in its aperture, with the background from a few pixels', async (t) => {
  const { answer } = await ask({
    camera: { ...CAMERA, pixelSizeUm: 4 },
    optics: { apertureMm: 100, focalLengthMm: 500 },
    sky: { electronsPerPixelSecond: IT.S },
    target: { starElectronsPerSecond: 50 },
    plan: { subSeconds: IT.t, subCount: IT.N, fwhmArcsec: 4, apertureRadiusArcsec: 5, backgroundPixels: 60 },
  })
  const { star } = answer
  const scale = 206.264806 * (4 / 500)
  const n = Math.PI * (5 / scale) ** 2
  near(t, star?.aperturePixels ?? NaN, n, 1e-8, 'pixels of the aperture')
  const signal = 50 * IT.t * (star?.capturedFraction ?? NaN)
  const variance = signal + n * (1 + n / 60) * ((IT.S + IT.D) * IT.t + 9)
  near(t, star?.perSub.snr ?? NaN, signal / Math.sqrt(variance), 1e-9, 'CCD equation of a star (Merline & Howell 1995)')
  near(t, star?.stack.snr ?? NaN, (Math.sqrt(IT.N) * signal) / Math.sqrt(variance), 1e-9, 'of the stack')
  t.equal(star?.clips, null, 'nobody said what a pixel holds')
})

void t.test('a square arcsecond holds more electrons than a pixel, or fewer', async (t) => {
  const { answer } = await ask({
    ...REQUEST,
    camera: { ...CAMERA, pixelSizeUm: 4 },
    optics: { apertureMm: 100, focalLengthMm: 500 },
  })
  const scale = 206.264806 * (4 / 500)
  near(t, answer.stack.snrPerArcsec2 ?? NaN, answer.stack.snr / scale, 1e-8, 'the root of how many pixels it holds')
})

void t.test('a length and a count that are not given are assumed, and said', async (t) => {
  const { answer } = await ask({ ...REQUEST, plan: {} })
  t.equal(answer.subCount, 1)
  const listed = answer.assumptions.map(({ pointer }) => pointer)
  t.ok(listed.includes('/plan/subSeconds') && listed.includes('/plan/subCount'))
})

void t.test('uncertain rates: the ratio’s uncertainty and whose it is, by differences', async (t) => {
  const uncertain = { O: 0.02, S: 0.3 }
  const at = async (O: number, S: number) => {
    const request = { ...REQUEST, target: { electronsPerPixelSecond: O }, sky: { electronsPerPixelSecond: S } }
    return (await ask(request)).answer.stack.snr
  }
  const target = (uncertain.O * ((await at(IT.O + 1e-4, IT.S)) - (await at(IT.O - 1e-4, IT.S)))) / 2e-4
  const sky = (uncertain.S * ((await at(IT.O, IT.S + 1e-3)) - (await at(IT.O, IT.S - 1e-3)))) / 2e-3
  const { answer } = await ask({
    ...REQUEST,
    target: { electronsPerPixelSecond: { value: IT.O, standardUncertainty: uncertain.O } },
    sky: { electronsPerPixelSecond: { value: IT.S, standardUncertainty: uncertain.S } },
  })
  const told = answer.uncertainty?.find(({ quantity }) => quantity === '/stack/snr')
  near(t, told?.standardUncertainty ?? NaN, Math.hypot(target, sky), 0.01, 'JCGM 100:2008, 5.1.2')
  const share = told?.contributions.find(({ input }) => input === '/target/electronsPerPixelSecond')?.share
  near(t, share ?? NaN, target ** 2 / (target ** 2 + sky ** 2), 0.01, 'share of the target')
})
