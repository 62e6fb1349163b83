import t from 'tap'
import type { z } from 'zod'
import type { DarkCurrentAnswerSchema } from '../../src/contract/dark-current.ts'
import { darkCurrentTable, dewPointCelsius, setPointAdvice } from '../../src/engine/index.ts'
import { darkCurrent } from '../../src/routes/dark-current/index.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Answer = z.infer<typeof DarkCurrentAnswerSchema>

const send = await asker([darkCurrent])
const ask = (body: object) => send<Answer>('/v1/dark-current', body)

const SKY = { electronsPerPixelSecond: 0.5 }
const CAMERA = {
  readNoiseElectrons: 2,
  darkCurrent: { electronsPerPixelSecond: 0.5, atCelsius: 20, doublingCelsius: 6 },
  cooler: { reachCelsius: 35 },
}
const LAW = { reference: { electronsPerPixelSecond: 0.5, atCelsius: 20 }, doublingCelsius: 6 }
const NIGHT = { ambientCelsius: [{ celsius: 14 }, { celsius: 16 }, { celsius: 10 }], marginCelsius: 3 }

void t.test('rows are the engine’s, with the share of the noise of every length', async (t) => {
  const { status, answer } = await ask({
    camera: CAMERA,
    sky: SKY,
    celsius: { fromCelsius: -10, toCelsius: 20, stepCelsius: 10 },
    subLengthsSeconds: [60, 300],
  })
  t.equal(status, 200)
  const { rows, doublingCelsius } = darkCurrentTable({
    law: LAW,
    temperaturesCelsius: [-10, 0, 10, 20],
    subLengthsSeconds: [60, 300],
    skyElectronsPerPixelSecond: 0.5,
    readNoiseElectrons: 2,
  })
  t.same(
    answer.rows.map(({ celsius, electronsPerPixelSecond }) => [celsius, electronsPerPixelSecond]),
    rows.map(({ celsius, electronsPerPixelSecond }) => [celsius, electronsPerPixelSecond]),
  )
  t.same(
    answer.rows[3]?.subs.map(({ noiseShare }) => noiseShare),
    [30 / 64, 150 / 304],
  )
  t.equal(answer.rows[3]?.noiseShare, 30 / 64, 'that of the first length')
  t.equal(answer.rows[3]?.darkToSkyNoise, 1)
  t.equal(answer.rows[0]?.stretchCelsius, -30)
  t.equal(answer.doublingCelsius, doublingCelsius)
  t.equal(answer.form, 'doubling')
  t.equal(answer.setPoint, null)
  t.match(answer.explanation[0], /temperature of the air/)
})

void t.test('D-DC-15 0.0035 e-/s at -20 °C, 0.0125 e-/s at -8 °C: doubling every 6.53416 °C (computed)', async (t) => {
  const darkCurrent = { electronsPerPixelSecond: 0.0035, atCelsius: -20, doublingCelsius: 6.53416 }
  const { answer } = await ask({ camera: { darkCurrent }, celsius: [-8] })
  near(t, Number(answer.rows[0]?.electronsPerPixelSecond), 0.0125, 1e-5, 'at -8 °C')
})

void t.test(
  'D-DC-16 a constant step of the value at 25 °C predicts 1.870 times too much at -20 °C (computed)',
  async (t) => {
    const { answer } = await ask({
      camera: { darkCurrent: { electronsPerPixelSecond: 1, atCelsius: 25 } },
      celsius: [-20],
    })
    const [row] = answer.rows
    const ratio = Number(row?.doublingElectronsPerPixelSecond) / Number(row?.depletionElectronsPerPixelSecond)
    near(t, ratio, 1.87, 5e-4, 'both forms stand side by side')
    t.equal(
      row?.electronsPerPixelSecond,
      row?.depletionElectronsPerPixelSecond,
      'without a step the physical form counts',
    )
    t.equal(answer.form, 'depletion')
  },
)

void t.test('the set-point is the engine’s, and says why', async (t) => {
  const { answer } = await ask({ camera: CAMERA, sky: SKY, night: NIGHT, darkShare: 0.26 })
  const expected = setPointAdvice({
    law: LAW,
    ambientCelsius: [14, 16, 10],
    coolerReachCelsius: 35,
    marginCelsius: 3,
    skyElectronsPerPixelSecond: 0.5,
    darkToSkyNoise: 0.26,
    libraryCelsius: [],
  })
  t.match(answer.setPoint, { celsius: -4, coldestReachable: -16, reason: 'cold-enough', library: 'none-given' })
  t.equal(answer.setPoint?.warmestColdEnoughCelsius, expected.warmestColdEnoughCelsius)
  t.match(answer.setPoint?.explanation, /^Set −4 °C/)
  t.equal(answer.explanation[0], answer.setPoint?.explanation)
})

void t.test('every reason has its sentence, and the dark library decides', async (t) => {
  const said = async (more: object) => (await ask({ camera: CAMERA, sky: SKY, night: NIGHT, ...more })).answer
  const used = await said({ darkLibraryCelsius: [-15, -10, 0], darkShare: 0.26 })
  t.match(used.setPoint, { celsius: -10, library: 'used', reason: 'cold-enough' })
  const warm = await said({ darkLibraryCelsius: [0], darkShare: 0.26 })
  t.match(warm.setPoint, { celsius: 0, reason: 'library-not-cold-enough', isColdEnough: false })
  t.match(warm.explanation[0], /coldest of your darks/)
  const out = await said({ darkLibraryCelsius: [-40], darkShare: 0.26 })
  t.match(out.setPoint, { library: 'out-of-reach', celsius: -4 })
  t.match(out.explanation.join(' '), /None of the temperatures of your darks/)
  const limited = await said({ darkShare: 0.05 })
  t.match(limited.setPoint, { reason: 'cooler-limited', celsius: -16 })
  t.match(limited.explanation[0], /no colder than −16 °C/)
  const needless = await said({ darkShare: 2 })
  t.match(needless.setPoint, { reason: 'cooling-not-needed' })
  const swing = await said({ night: { ambientCelsius: [{ celsius: 30 }, { celsius: -20 }] } })
  t.equal(swing.setPoint?.heldAllNight, false)
  t.match(swing.explanation.join(' '), /set two/)
})

void t.test('dew point of the night, with the caution (Alduchov & Eskridge 1996)', async (t) => {
  const humid = [
    { celsius: 14, relativeHumidityShare: 0.6 },
    { celsius: 10, relativeHumidityShare: 0.95, at: '2026-10-10T23:00:00Z' },
    { celsius: 8 },
  ]
  const { answer } = await ask({ camera: CAMERA, sky: SKY, night: { ambientCelsius: humid } })
  const dew = dewPointCelsius({ temperatureCelsius: 10, relativeHumidityShare: 0.95 })
  t.match(answer.dewPoint, { dewPointCelsius: dew, deposit: 'ice', at: '2026-10-10T23:00:00Z' })
  t.match(answer.cautions.join(' '), /below the dew point: ice forms/)
  t.match(answer.model.sources.join(' '), /Alduchov & Eskridge 1996/)
  const dry = await ask({
    camera: { ...CAMERA, temperatureCelsius: 12 },
    night: { ambientCelsius: 14, relativeHumidityShare: 0.3 },
  })
  t.match(dry.answer.dewPoint, { deposit: 'none', sensorCelsius: 12, at: null })
  t.notMatch(dry.answer.cautions.join(' '), /dew point/)
})

void t.test('uncertainties of the inputs reach rows and set-point', async (t) => {
  const { answer } = await ask({
    camera: {
      ...CAMERA,
      darkCurrent: { ...CAMERA.darkCurrent, electronsPerPixelSecond: { value: 0.5, standardUncertainty: 0.05 } },
    },
    sky: SKY,
    celsius: [20],
    night: { ambientCelsius: { value: 12, standardUncertainty: 2 } },
  })
  const of = (quantity: string) => answer.uncertainty?.find((one) => one.quantity === quantity)
  near(t, Number(of('/rows/0/electronsPerPixelSecond')?.standardUncertainty), 0.05, 1e-6, 'rate')
  near(t, Number(of('/setPoint/coldestReachable')?.standardUncertainty), 2, 1e-6, 'coldest')
  // ln D = ln D₀ + (T − T₀) ln 2/T_d, so a tenth of D₀ is 0.1 · 6/ln 2 degrees.
  near(t, Number(of('/setPoint/warmestColdEnoughCelsius')?.standardUncertainty), 0.6 / Math.LN2, 1e-3, 'warmest')
})

void t.test('a class of camera and a class of sky are a whole question, binning counts', async (t) => {
  const body = { camera: { like: 'cooled-mono-cmos' }, optics: { like: 'small-refractor' }, sky: { bortleClass: 5 } }
  const plain = await ask({ ...body, night: { ambientCelsius: 10 } })
  t.equal(plain.status, 200)
  t.ok(plain.answer.setPoint)
  const pointers = plain.answer.assumptions.map(({ pointer }) => pointer)
  for (const pointer of ['/camera/darkCurrent', '/camera/cooler/reachCelsius', '/night/marginCelsius', '/darkShare']) {
    t.ok(pointers.includes(pointer), pointer)
  }
  const binned = await ask({ ...body, camera: { ...body.camera, binning: 2 } })
  const rates = [plain, binned].map(({ answer }) => Number(answer.rows[0]?.electronsPerPixelSecond))
  near(t, Number(rates[1]), 4 * Number(rates[0]), 1e-12, 'four pixels in one')
})

void t.test('without sky or read noise there are rates, and it is said what is missing', async (t) => {
  const { answer } = await ask({
    camera: { darkCurrent: { electronsPerPixelSecond: 0.1, atCelsius: 0 } },
    celsius: [0],
  })
  t.match(answer.rows[0], { electronsPerPixelSecond: 0.1, noiseShare: null, darkToSkyNoise: null })
  t.match(answer.explanation.join(' '), /Give a sky/)
  const dark = await ask({ camera: CAMERA, sky: { electronsPerPixelSecond: 0 }, night: NIGHT })
  t.equal(dark.answer.setPoint, null)
  t.match(dark.answer.explanation[0], /a sky that sends light/)
  const ladder = await ask({ camera: CAMERA, sky: SKY, celsius: [0], plan: { subLadderSeconds: [30, 120] } })
  t.same(
    ladder.answer.rows[0]?.subs.map(({ subSeconds }) => subSeconds),
    [30, 120],
  )
  const fine = await ask({ camera: CAMERA, celsius: { fromCelsius: 0, toCelsius: 0.3, stepCelsius: 0.1 } })
  t.same(
    fine.answer.rows.map(({ celsius }) => celsius),
    [0, 0.1, 0.2, 0.3],
    'no rounding gathers',
  )
})

void t.test('what is missing or contradicts itself is named by pointer', async (t) => {
  const errors = async (body: object) => (await ask(body)).errors
  t.match(await errors({ camera: { pixelSizeUm: 3.8 } }), [/^\/camera\/darkCurrent: missing/])
  const range = (fromCelsius: number, toCelsius: number, stepCelsius: number) => ({
    camera: CAMERA,
    celsius: { fromCelsius, toCelsius, stepCelsius },
  })
  t.match(await errors(range(10, -10, 5)), [/^\/celsius\/toCelsius: -10 °C is colder/])
  t.match(await errors(range(-40, 20, 0.1)), [/^\/celsius\/stepCelsius: .*200 rows/])
  const twoSkies = { bortleClass: 5, electronsPerPixelSecond: 1 }
  t.match(await errors({ camera: CAMERA, sky: twoSkies }), [/^\/sky\/bortleClass: 2 skies/, /^\/sky\/electronsPer/])
  t.match(await errors({ camera: { ...CAMERA, cooler: { reachCelsius: 100 } }, sky: SKY, night: NIGHT }), [
    /^\/camera\/cooler\/reachCelsius: given 100; allowed: 0 to 80/,
  ])
  const wet = await ask({ camera: CAMERA, night: { ambientCelsius: 10, relativeHumidityShare: 80 } })
  t.equal(wet.status, 400)
  t.match(wet.errors, [/^\/night\/relativeHumidityShare/])
})
