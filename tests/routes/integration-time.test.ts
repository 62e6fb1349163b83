// How long a goal takes, against formulas solved for the number of subs, and goals that no number of subs reaches.

import t from 'tap'
import type { z } from 'zod'
import type { IntegrationTimeAnswerSchema, IntegrationTimeRequestSchema } from '../../src/contract/integration-time.ts'
import { integrationTime } from '../../src/routes/integration-time/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Request = z.input<typeof IntegrationTimeRequestSchema>
type Answer = z.infer<typeof IntegrationTimeAnswerSchema>

const send = await asker([integrationTime])
const ask = (request: Request) => send<Answer>('/v1/integration-time', request)

const IT = { O: 0.05, S: 0.8, R: 2, t: 180 }
const PLAN = { subSeconds: IT.t, overheadSeconds: 6, interruptionsPerHour: 1.5 }
const request = (more: Partial<Request> = {}): Request => ({
  camera: { readNoiseElectrons: IT.R },
  sky: { electronsPerPixelSecond: IT.S },
  target: { electronsPerPixelSecond: IT.O },
  plan: PLAN,
  goal: { snr: 12, per: 'pixel' },
  ...more,
})
/** Variance of one sub over the square of its signal. */
const RELATIVE = ((IT.O + IT.S) * IT.t + IT.R ** 2) / (IT.O * IT.t) ** 2

void t.test('the least whole number of subs: SNR² of the CCD equation is proportional to it', async (t) => {
  const { answer } = await ask(request())
  const subCount = Math.ceil(144 * RELATIVE)
  t.equal(answer.subCount, subCount)
  t.equal(answer.integrationSeconds, subCount * IT.t)
  near(t, answer.reachedSnr ?? NaN, Math.sqrt(subCount / RELATIVE), 1e-12, 'reached')
  const perKept = (IT.t + 6) * Math.exp((1.5 / 3600) * IT.t)
  near(t, answer.clockSeconds ?? NaN, subCount * perKept, 1e-12, 'clock: dead time, and spoiled subs taken again')
  t.equal(answer.ceilingSnr, null)
})

void t.test('twice the ratio takes four times as long, give or take a sub', async (t) => {
  const once = (await ask(request())).answer.subCount ?? NaN
  const twice = (await ask(request({ goal: { snr: 24, per: 'pixel' } }))).answer.subCount ?? NaN
  t.ok(Math.abs(twice - 4 * once) < 4, `${twice} against ${once}`)
})

void t.test('calibration sets a ceiling; below it N follows from both, above it no number does', async (t) => {
  const calibration = { darkFrames: 16, ditherPositions: 9 }
  const plan = { ...PLAN, calibration }
  const left = IT.R ** 2 / 16 / (IT.O * IT.t) ** 2 / 9
  const { answer } = await ask(request({ plan }))
  near(t, answer.ceilingSnr ?? NaN, 1 / Math.sqrt(left), 1e-12, 'ceiling')
  t.equal(answer.subCount, Math.ceil(RELATIVE / (1 / 144 - left)), '1/SNR² = r/N + c')
  const beyond = (await ask(request({ plan, goal: { snr: 1.01 / Math.sqrt(left), per: 'pixel' } }))).answer
  t.match(beyond, { reachable: false, subCount: null, integrationSeconds: null, clockSeconds: null, reachedSnr: null })
  near(t, beyond.ceilingSnr ?? NaN, 1 / Math.sqrt(left), 1e-12, 'which is told')
  t.match(beyond.explanation, [/no number of subs gets above 54\.$/, /^More darks and flats raise that ceiling/])
})

void t.test('per square arcsecond: as many pixels as it holds, those of the plane alone', async (t) => {
  const optics = { apertureMm: 80, focalLengthMm: 400 }
  const scale = (206.264806 * 4) / 400
  for (const [color, samplingFraction] of [
    ['mono', 1],
    ['bayer', 0.5],
  ] as const) {
    const camera = { readNoiseElectrons: IT.R, pixelSizeUm: 4, color }
    const { answer } = await ask(request({ camera, optics, goal: { snr: 12, per: 'arcsec2' } }))
    const pixels = samplingFraction / scale ** 2
    t.equal(answer.subCount, Math.ceil((144 * RELATIVE) / pixels), color)
  }
})

void t.test('a star: the ratio in its aperture', async (t) => {
  const { answer } = await ask(
    request({
      camera: { readNoiseElectrons: IT.R, pixelSizeUm: 4 },
      optics: { apertureMm: 80, focalLengthMm: 400 },
      target: { starElectronsPerSecond: 2 },
      goal: { snr: 50, per: 'star' },
    }),
  )
  t.ok((answer.reachedSnr ?? 0) >= 50)
  const count = answer.subCount ?? NaN
  t.ok((answer.reachedSnr ?? NaN) * Math.sqrt((count - 1) / count) < 50, 'one sub fewer does not reach it')
})

void t.test('no light, no time', async (t) => {
  const { status, errors } = await ask(request({ target: { electronsPerPixelSecond: 0 } }))
  t.equal(status, 422)
  t.match(errors, [/^\/target/])
  const mismatched = await ask(request({ goal: { snr: 10, per: 'star' } }))
  t.equal(mismatched.status, 400)
  t.equal(mismatched.errors[0], '/goal/per: the goal is for a star, but the target has none')
})

void t.test('an uncertain sky: hours and their uncertainty, by a difference', async (t) => {
  const realCount = (S: number) => (144 * ((IT.O + S) * IT.t + IT.R ** 2)) / (IT.O * IT.t) ** 2
  const { answer } = await ask(
    request({ sky: { electronsPerPixelSecond: { value: IT.S, standardUncertainty: 0.08 } } }),
  )
  const told = answer.uncertainty?.find(({ quantity }) => quantity === '/integrationSeconds')
  const slope = (realCount(IT.S + 0.01) - realCount(IT.S - 0.01)) / 0.02
  near(t, told?.standardUncertainty ?? NaN, slope * 0.08 * IT.t, 1e-3, 'seconds')
})
