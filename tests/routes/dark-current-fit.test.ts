import t from 'tap'
import type { z } from 'zod'
import type { DarkCurrentFitAnswerSchema } from '../../src/contract/dark-current-fit.ts'
import { activatedRatio, arrheniusDoublingCelsius, fitDarkCurrent } from '../../src/engine/index.ts'
import { darkCurrentFit } from '../../src/routes/dark-current-fit/index.ts'
import { darkCurrent } from '../../src/routes/dark-current/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Answer = z.infer<typeof DarkCurrentFitAnswerSchema>

const send = await asker([darkCurrentFit, darkCurrent])
const ask = (body: object) => send<Answer>('/v1/dark-current/fit', body)

const ENERGY = 0.65
const rateAt = (celsius: number) =>
  0.02 *
  activatedRatio({
    temperatureCelsius: celsius,
    referenceCelsius: 0,
    activationEnergyElectronVolts: ENERGY,
    temperaturePower: 0,
  })
const TEMPERATURES = [-20, -10, 0, 10, 20]
const exact = TEMPERATURES.map((celsius) => ({ celsius, electronsPerPixelSecond: rateAt(celsius) }))
const uncertain = exact.map(({ celsius, electronsPerPixelSecond: value }, index) => ({
  celsius,
  electronsPerPixelSecond: { value: value * (1 + 0.02 * (-1) ** index), standardUncertainty: value * 0.02 },
}))

void t.test('Arrhenius’ law gives its energy and step back', async (t) => {
  const { status, answer } = await ask({ rates: exact, referenceCelsius: 0 })
  t.equal(status, 200)
  near(t, answer.activationEnergyElectronVolts.value, ENERGY, 1e-9, 'energy')
  near(t, answer.electronsPerPixelSecond.value, 0.02, 1e-9, 'rate')
  const step = arrheniusDoublingCelsius({ activationEnergyElectronVolts: ENERGY, temperatureCelsius: 0 })
  near(t, answer.doublingCelsius.value, step, 1e-9, 'step')
  t.equal(answer.uncertaintyFrom, 'scatter')
})

void t.test('given uncertainties weigh the fit as in the engine, and propagate alike', async (t) => {
  const { answer } = await ask({ rates: uncertain, referenceCelsius: -10 })
  const fit = fitDarkCurrent({
    rates: uncertain.map(({ celsius, electronsPerPixelSecond: { value, standardUncertainty } }) => ({
      temperatureCelsius: celsius,
      electronsPerPixelSecond: value,
      standardUncertainty,
    })),
    referenceCelsius: -10,
  })
  t.same(answer.doublingCelsius, fit.doublingCelsius)
  t.same(answer.activationEnergyElectronVolts, fit.activationEnergyElectronVolts)
  t.equal(answer.chiSquare, fit.chiSquare)
  t.equal(answer.degreesOfFreedom, 3)
  t.equal(answer.uncertaintyFrom, 'given')
  const propagated = answer.uncertainty?.find(({ quantity }) => quantity === '/doublingCelsius/value')
  near(t, Number(propagated?.standardUncertainty), Number(fit.doublingCelsius.standardUncertainty), 1e-5, 'two ways')
  t.equal(propagated?.contributions[0]?.input, '/rates/0/electronsPerPixelSecond')
})

void t.test('the dark current of the answer goes into a camera as it is', async (t) => {
  const { answer } = await ask({ rates: uncertain, referenceCelsius: -10 })
  const again = await send<{ doublingCelsius: number }>('/v1/dark-current', { camera: answer.camera })
  t.equal(again.status, 200)
  t.equal(again.answer.doublingCelsius, answer.doublingCelsius.value)
  t.same(answer.camera.darkCurrent?.doublingCelsius, answer.doublingCelsius)
})

void t.test('darks in ADU: the offset drops out, the gain scales', async (t) => {
  const darks = TEMPERATURES.flatMap((celsius) =>
    [100, 400].map((subSeconds) => ({ celsius, subSeconds, meanAdu: 512 + (rateAt(celsius) * subSeconds) / 0.5 })),
  )
  const { answer } = await ask({
    darks,
    camera: { electronsPerAdu: { value: 0.5, standardUncertainty: 0.01 } },
    referenceCelsius: 0,
  })
  near(t, answer.activationEnergyElectronVolts.value, ENERGY, 1e-6, 'energy')
  near(t, answer.electronsPerPixelSecond.value, 0.02, 1e-6, 'rate')
  t.same(answer.rates[0]?.pointers, ['/darks/0', '/darks/1'])
  const sent = answer.camera.darkCurrent?.electronsPerPixelSecond
  near(t, Number(typeof sent === 'object' && sent.standardUncertainty), 0.0004, 1e-3, '2 % of the gain')
  const weighted = darks.map(({ meanAdu, ...dark }) => ({
    ...dark,
    meanAdu: { value: meanAdu, standardUncertainty: 0.1 },
  }))
  const given = await ask({ darks: weighted, camera: { electronsPerAdu: 0.5 }, referenceCelsius: 0 })
  t.equal(given.answer.uncertaintyFrom, 'given')
  near(t, given.answer.activationEnergyElectronVolts.value, ENERGY, 1e-6, 'energy')
})

void t.test('one length is enough where the offset is known', async (t) => {
  const inAdu = TEMPERATURES.map((celsius) => ({ celsius, subSeconds: 300, meanAdu: 512 + rateAt(celsius) * 300 }))
  const camera = { electronsPerAdu: 1, offsetAdu: 512 }
  const { answer } = await ask({ darks: inAdu, camera, referenceCelsius: 0 })
  near(t, answer.activationEnergyElectronVolts.value, ENERGY, 1e-6, 'energy from ADU')
  const inElectrons = TEMPERATURES.map((celsius) => ({
    celsius,
    subSeconds: 300,
    meanElectrons: rateAt(celsius) * 300,
  }))
  const again = await ask({ darks: inElectrons, referenceCelsius: 0 })
  near(t, again.answer.activationEnergyElectronVolts.value, ENERGY, 1e-9, 'energy from electrons')
  const unknown = await ask({ darks: inAdu, camera: { electronsPerAdu: 1 } })
  t.equal(unknown.status, 422)
  t.match(unknown.errors, [/^\/camera\/offsetAdu: missing/])
  const partly = await ask({
    darks: [
      ...inAdu,
      { celsius: 0, subSeconds: 100, meanAdu: 514 },
      { celsius: 20, subSeconds: 100, meanAdu: 512 + rateAt(20) * 100 },
      { celsius: 30, subSeconds: 0, meanAdu: 512 },
    ],
    camera: { electronsPerAdu: 1 },
  })
  t.same(
    partly.answer.leftOut.map(({ celsius }) => celsius),
    [-20, -10, 10, 30],
  )
  t.match(partly.answer.leftOut[3]?.reason, /no length/)
})

void t.test('outliers, glow and rates below zero are named', async (t) => {
  const odd = [...uncertain, { celsius: 5, electronsPerPixelSecond: { value: 0.1, standardUncertainty: 0.001 } }]
  const { answer } = await ask({ rates: odd })
  t.same(answer.outliers, ['/rates/5'])
  t.match(answer.explanation.join(' '), /5 °C \(\/rates\/5\) does not belong/)
  const glowing = [-30, ...TEMPERATURES].map((celsius) => {
    const value = rateAt(celsius) + 0.02
    return { celsius, electronsPerPixelSecond: { value, standardUncertainty: value * 0.01 } }
  })
  const glow = await ask({ rates: glowing })
  near(t, Number(glow.answer.constantElectronsPerPixelSecond?.value), 0.02, 1e-4, 'glow')
  t.match(glow.answer.explanation.join(' '), /amplifier glow or a light leak/)
  const negative = await ask({ rates: [{ celsius: -40, electronsPerPixelSecond: -0.001 }, ...exact] })
  t.same(negative.answer.leftOut[0]?.pointers, ['/rates/0'])
  t.same(negative.answer.rates[0]?.pointers, ['/rates/1'])
})

void t.test('two rates leave nothing to judge by, and it is said', async (t) => {
  const { answer } = await ask({ rates: exact.slice(0, 2) })
  t.equal(answer.doublingCelsius.standardUncertainty, null)
  t.type(answer.camera.darkCurrent?.electronsPerPixelSecond, 'number')
  t.match(answer.explanation.join(' '), /a third would tell/)
  t.equal(answer.assumptions[0]?.pointer, '/referenceCelsius')
})

void t.test('what is missing or contradicts itself is named by pointer', async (t) => {
  const errors = async (body: object) => (await ask(body)).errors
  t.match(await errors({}), [/^\/rates: missing/])
  t.match(await errors({ rates: exact, darks: [{ celsius: 0, subSeconds: 1, meanElectrons: 1 }] }), [
    /^\/rates: rates and darks/,
    /^\/darks: rates and darks/,
  ])
  t.match(await errors({ rates: [...exact.slice(0, 2), uncertain[3]] }), [
    /^\/rates\/0: missing/,
    /^\/rates\/1: missing/,
  ])
  t.match(await errors({ rates: [{ celsius: 0, electronsPerPixelSecond: { value: 1, standardUncertainty: 0 } }] }), [
    /^\/rates\/0: .*above 0/,
  ])
  t.match(await errors({ darks: [{ celsius: 0, subSeconds: 60, meanAdu: 500 }] }), [/^\/camera\/electronsPerAdu/])
  t.match(await errors({ darks: [{ celsius: 0, subSeconds: 60 }] }), [/^\/darks\/0\/meanElectrons: missing/])
  t.match(
    await errors({
      darks: [{ celsius: 0, subSeconds: 60, meanAdu: 1, meanElectrons: 1 }],
      camera: { electronsPerAdu: 1, offsetAdu: 0 },
    }),
    [/^\/darks\/0\/meanAdu: .*only one/],
  )
  t.match(
    await errors({
      darks: [
        { celsius: 0, subSeconds: 60, meanAdu: 1 },
        { celsius: 5, subSeconds: 60, meanElectrons: 1 },
      ],
      camera: { electronsPerAdu: 1 },
    }),
    [/^\/camera\/offsetAdu: missing/],
  )
  const flat = await ask({ rates: TEMPERATURES.map((celsius) => ({ celsius, electronsPerPixelSecond: 1 })) })
  t.equal(flat.status, 422)
  t.match(flat.errors, [/^\/rates: .*light leak/])
  t.match(await errors({ rates: exact.slice(0, 1) }), [/^\/rates: /])
  const same = [0, 1e-300].map((celsius) => ({ celsius, electronsPerPixelSecond: 1 }))
  t.match(await errors({ rates: same }), [/^\/rates: .*different/])
  const many = Array.from({ length: 41 }, (_, index) => ({ celsius: index, subSeconds: 60, meanElectrons: index + 1 }))
  t.match(await errors({ darks: many }), [/^\/darks: these make 41 rates/])
})
