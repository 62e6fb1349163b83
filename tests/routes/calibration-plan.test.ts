import t from 'tap'
import type { z } from 'zod'
import type { CalibrationPlanAnswerSchema } from '../../src/contract/calibration-plan.ts'
import {
  calibrationPlan as planFrames,
  smallestDarkLibrary,
  temperatureMismatch,
  temperatureTolerance,
} from '../../src/engine/index.ts'
import { calibrationPlan } from '../../src/routes/calibration-plan/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Answer = z.infer<typeof CalibrationPlanAnswerSchema>

const send = await asker([calibrationPlan])
const ask = (body: object) => send<Answer>('/v1/calibration-plan', body)

const BODY = {
  camera: { readNoiseElectrons: 3, darkCurrent: { electronsPerPixelSecond: 0.05, atCelsius: 0, doublingCelsius: 6 } },
  sky: { electronsPerPixelSecond: 0.8 },
  target: { electronsPerPixelSecond: 0.1 },
  plan: { subSeconds: 180, subCount: 40, calibration: { flatElectrons: 20000, ditherPositions: 10 } },
  calibrationTolerance: 0.02,
  darksCelsius: 3,
  hotPixelElectronsPerSecond: 2,
  flatSeconds: 2,
}
const SHARE = 1.02 ** 2 - 1
const STACK = {
  readout: { readNoiseElectrons: 3, quantizationElectrons2: 0 },
  subSeconds: 180,
  subCount: 40,
  ditherPositions: 10,
}
const MISMATCH = {
  ...STACK,
  law: { reference: { electronsPerPixelSecond: 0.05, atCelsius: 0 }, doublingCelsius: 6 },
  lightCelsius: 0,
  hotPixelElectronsPerSecond: 2,
  targetElectronsPerPixelSecond: 0.1,
  skyElectronsPerPixelSecond: 0.8,
}

void t.test('frames are the engine’s and keep the tolerance', async (t) => {
  const { status, answer } = await ask(BODY)
  t.equal(status, 200)
  const rates = {
    targetElectronsPerPixelSecond: 0.1,
    skyElectronsPerPixelSecond: 0.8,
    darkElectronsPerPixelSecond: 0.05,
  }
  const plan = planFrames({ ...STACK, rates, flatElectrons: 20000, flatSeconds: 2, varianceShare: SHARE })
  t.same(answer.frames, {
    darks: plan.darkFrames,
    flats: plan.flatFrames,
    bias: plan.flatCalibrationFrames,
    darkFlats: null,
  })
  t.equal(answer.noiseExcessShare, plan.noiseExcessShare)
  t.ok(answer.noiseExcessShare <= 0.02)
  // (D t + R²)/n_dark over the variance of a sub, N/M times.
  const dark = ((0.05 * 180 + 9) / plan.darkFrames) * (40 / 10 / (0.95 * 180 + 9))
  near(t, answer.varianceShares.darks, dark, 1e-12, 'closed form of the darks')
})

void t.test('D-EST-17 noise factor of subtracting a master of 4 frames, √(1 + 1/4) (computed)', async (t) => {
  // One sub without light or flats to divide: its noise is that of a dark.
  const { answer } = await ask({
    camera: { readNoiseElectrons: 3 },
    sky: { electronsPerPixelSecond: 0 },
    plan: { subSeconds: 60, subCount: 1 },
    calibrationTolerance: Math.sqrt(1.25) - 1 + 1e-9,
  })
  t.equal(answer.frames.darks, 4)
  near(t, 1 + answer.noiseExcessShare, Math.sqrt(1.25), 1e-12, 'noise factor')
})

void t.test('residual and tolerance of a temperature mismatch, with and without dither', async (t) => {
  const { answer } = await ask(BODY)
  const { ordinary, hot } = temperatureMismatch({ ...MISMATCH, darkCelsius: 3 })
  t.same(answer.residual, { lightsCelsius: 0, darksCelsius: 3, ordinary, hot })
  near(t, ordinary.perSubElectrons, 0.05 * 180 * (1 - Math.SQRT2), 1e-12, 'half a doubling too warm')
  near(t, ordinary.overStackNoiseWithoutDither / ordinary.overStackNoise, Math.sqrt(10), 1e-12, 'dither over ten')
  const tolerance = temperatureTolerance({ ...MISMATCH, varianceShare: SHARE })
  t.same(answer.tolerance, tolerance)
  t.equal(
    answer.temperatureToleranceCelsius,
    Math.min(Number(tolerance.ordinary.colderCelsius), Number(tolerance.ordinary.warmerCelsius)),
  )
  t.match(answer.explanation.join(' '), /Darks at 3 °C leave/)
})

void t.test('the smallest library serves all plans', async (t) => {
  const planned = [
    { subSeconds: 300, coldestCelsius: -15, warmestCelsius: -8 },
    { subSeconds: 300, coldestCelsius: -10, warmestCelsius: 0 },
    { subSeconds: 60, coldestCelsius: -10 },
  ]
  const { answer } = await ask({ ...BODY, library: { planned, toleranceCelsius: 1 } })
  const expected = smallestDarkLibrary({
    planned: planned.map(({ warmestCelsius, ...plan }) => ({
      ...plan,
      warmestCelsius: warmestCelsius ?? plan.coldestCelsius,
    })),
    toleranceCelsius: 1,
  })
  t.same(
    answer.library,
    expected.map(({ subSeconds, temperatureCelsius, serves }) => ({
      celsius: temperatureCelsius,
      subSeconds,
      serves: serves.map((index) => `/library/planned/${index}`),
    })),
  )
  t.equal(answer.library?.length, 2)
  const assumed = async (body: object) =>
    (await ask({ ...body, library: { planned } })).answer.assumptions.find(
      ({ pointer }) => pointer === '/library/toleranceCelsius',
    )?.value
  t.equal(await assumed(BODY), (await ask(BODY)).answer.temperatureToleranceCelsius, 'dither takes care of hot pixels')
  const still = { ...BODY, plan: { ...BODY.plan, calibration: { flatElectrons: 20000 } } }
  t.ok(Number(await assumed(still)) < 0.5, 'without it they ask for darks within a fraction of a degree')
  t.equal(await assumed({ ...BODY, camera: { readNoiseElectrons: 3 } }), 1, 'dark current unknown')
})

void t.test('without dark current temperature has no say, and it is said', async (t) => {
  const { answer } = await ask({ ...BODY, camera: { readNoiseElectrons: 3 } })
  t.equal(answer.temperatureToleranceCelsius, null)
  t.equal(answer.residual, null)
  t.match(answer.explanation.join(' '), /give `camera.darkCurrent`/)
  const none = { ...BODY.camera, darkCurrent: { electronsPerPixelSecond: 0, atCelsius: 0 } }
  const zero = await ask({ ...BODY, camera: none })
  t.equal(zero.answer.temperatureToleranceCelsius, null)
  t.match(zero.answer.explanation.join(' '), /any temperature would do/)
})

void t.test('long flats ask for dark-flats', async (t) => {
  const camera = { readNoiseElectrons: 3, darkCurrent: { electronsPerPixelSecond: 20, atCelsius: 20 } }
  const { answer } = await ask({ ...BODY, camera, sky: { electronsPerPixelSecond: 40 }, flatSeconds: 300 })
  t.equal(answer.frames.bias, null)
  t.ok(Number(answer.frames.darkFlats) >= 1)
  t.match(answer.explanation.join(' '), /in the place|take the place of bias/)
})

void t.test('length, count and flats are filled in and listed', async (t) => {
  const { answer } = await ask({
    camera: { readNoiseElectrons: 3, fullWellElectrons: 30000 },
    sky: { electronsPerPixelSecond: 0.8 },
  })
  const pointers = answer.assumptions.map(({ pointer }) => pointer)
  for (const pointer of ['/plan/subSeconds', '/plan/subCount', '/plan/calibration/flatElectrons', '/flatSeconds']) {
    t.ok(pointers.includes(pointer), pointer)
  }
  t.equal(answer.flatElectrons, 15000)
  t.ok(answer.subCount > 1)
  t.match(answer.explanation.join(' '), /Without dither/)
})

void t.test('uncertainties of the inputs reach residual and tolerance', async (t) => {
  const darkCurrent = {
    ...BODY.camera.darkCurrent,
    electronsPerPixelSecond: { value: 0.05, standardUncertainty: 0.01 },
  }
  const { answer } = await ask({ ...BODY, camera: { ...BODY.camera, darkCurrent } })
  const of = (quantity: string) => answer.uncertainty?.find((one) => one.quantity === quantity)?.standardUncertainty
  near(t, Number(of('/residual/ordinary/perSubElectrons')), 0.01 * 180 * (Math.SQRT2 - 1), 1e-6, 'a fifth of it')
  t.ok(Number(of('/temperatureToleranceCelsius')) > 0)
})

void t.test('what is missing or contradicts itself is named by pointer', async (t) => {
  const errors = async (body: object) => (await ask(body)).errors
  t.match(await errors({ ...BODY, camera: {} }), [/^\/camera\/readNoiseElectrons: missing/])
  const planned = [{ subSeconds: 60, coldestCelsius: 0, warmestCelsius: -5 }]
  t.match(await errors({ ...BODY, library: { planned } }), [/^\/library\/planned\/0\/warmestCelsius: -5 °C is colder/])
  t.match(await errors({ ...BODY, camera: { ...BODY.camera, fullWellElectrons: 10000 } }), [
    /^\/plan\/calibration\/flatElectrons: 20000 electrons are more/,
  ])
  t.match(await errors({ ...BODY, plan: { subSeconds: 60, subCount: 1e9 } }), [/^\/plan\/subCount: given/])
  const bright = { subSeconds: 600, subCount: 1e6, calibration: { flatElectrons: 1 } }
  const strict = await ask({ ...BODY, sky: { electronsPerPixelSecond: 1000 }, plan: bright })
  t.equal(strict.status, 422)
  t.match(strict.errors, [/^\/calibrationTolerance: too strict/])
})
