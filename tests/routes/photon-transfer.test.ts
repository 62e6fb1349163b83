import t from 'tap'
import type { z } from 'zod'
import type { PhotonTransferAnswerSchema } from '../../src/contract/photon-transfer.ts'
import { photonTransfer as transfer } from '../../src/engine/index.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { photonTransfer } from '../../src/routes/photon-transfer/index.ts'
import { EMVA_EXAMPLE } from '../engine/detector/photon-transfer-example.ts'
import { asker } from '../support/ask.ts'
import { near } from '../support/near.ts'

type Answer = z.infer<typeof PhotonTransferAnswerSchema>

const send = await asker([photonTransfer, noiseBudget])
const ask = (body: object) => send<Answer>('/v1/photon-transfer', body)

/** A ladder of a camera of 0.5 e⁻/ADU, 3 e⁻ read noise, 1 % PRNU, 2 e⁻ DSNU, that clips at 30000 ADU over the offset. */
const DARK = { darkMeanAdu: 500, darkTemporalVarianceAdu2: 36, darkSpatialVarianceAdu2: 16, pixelCount: 1e6 }
const level = (signalAdu: number) => ({
  meanAdu: 500 + signalAdu,
  temporalVarianceAdu2: 36 + 2 * signalAdu,
  spatialVarianceAdu2: 16 + (0.01 * signalAdu) ** 2,
  exposureSeconds: signalAdu / 1000,
  clippedShare: 0,
  ...DARK,
})
const CLIPPED = { ...level(32000), meanAdu: 30500, temporalVarianceAdu2: 100, clippedShare: 0.9 }
const LEVELS = [2000, 8000, 15000, 20000, 28000].map(level)
const LADDER = [...LEVELS, CLIPPED]

void t.test('D-PTC-11, D-PTC-12 gain, quantum efficiency and dark noise of the EMVA 1288 reference data', async (t) => {
  const { status, answer } = await ask({ levels: EMVA_EXAMPLE })
  t.equal(status, 200)
  const expected = transfer({ levels: EMVA_EXAMPLE, darks: [] })
  t.same(answer.electronsPerAdu, expected.electronsPerAdu)
  t.same(answer.gain.withIntercept, expected.gain.withIntercept)
  near(t, Number(answer.quantumEfficiency?.value), 0.45311, 1e-4, 'quantum efficiency')
  near(t, Number(answer.readNoiseWithoutQuantizationElectrons?.value), 10.9397, 1e-4, 'dark noise')
  t.equal(answer.gain.uncertaintyFrom, 'scatter')
  t.match(answer.explanation.join(' '), /K of EMVA 1288 is its inverse/)
})

void t.test(
  'D-PTC-20 two flats, two biases (Janesick, as in the help of a public reduction package; Howell 2006)',
  async (t) => {
    // g = [(F₁ + F₂) − (B₁ + B₂)]/(s²_ΔF − s²_ΔB), R = g s_ΔB/√2, of a pair each.
    const { answer } = await ask({
      levels: [{ meanAdu: 21000, temporalVarianceAdu2: 16400, darkMeanAdu: 1000, darkTemporalVarianceAdu2: 225 }],
    })
    near(t, answer.electronsPerAdu.value, 20000 / (16400 - 225), 1e-12, 'gain')
    near(t, answer.readNoiseElectrons.value, (15 * 20000) / (16400 - 225), 1e-12, 'read noise')
    t.equal(answer.electronsPerAdu.standardUncertainty, null)
    t.equal(answer.gain.withIntercept, null)
    t.equal(answer.fullWellElectrons, null)
    t.equal(answer.dynamicRange, null)
    t.match(answer.explanation.join(' '), /No level reaches saturation.*`pixelCount`/)
  },
)

void t.test('a known camera is found again, every figure with its uncertainty', async (t) => {
  const { answer } = await ask({ levels: LADDER })
  near(t, answer.electronsPerAdu.value, 0.5, 1e-9, 'gain')
  near(t, answer.gain.throughOrigin.aduPerElectron.value, 2, 1e-9, 'K')
  near(t, answer.readNoiseElectrons.value, 3, 1e-9, 'read noise')
  near(t, Number(answer.photoResponseNonUniformityShare?.value), 0.01, 1e-9, 'PRNU')
  near(t, Number(answer.darkNonUniformityElectrons?.value), 2, 1e-9, 'DSNU')
  t.ok(Number(answer.linearity?.errorShare.value) < 1e-12, 'straight')
  t.equal(answer.saturation?.method, 'clipped-share')
  const { ratio, decibels, stops } = answer.dynamicRange ?? {}
  near(t, Number(decibels?.value), 20 * Math.log10(Number(ratio?.value)), 1e-12, 'decibels')
  near(t, Number(stops?.value), Math.log2(Number(ratio?.value)), 1e-12, 'stops')
  const figures = [
    answer.electronsPerAdu,
    answer.readNoiseElectrons,
    answer.fullWellElectrons,
    answer.dynamicRange?.ratio,
    answer.photoResponseNonUniformityShare,
    answer.darkNonUniformityElectrons,
    answer.linearity?.errorShare,
  ]
  for (const [index, figure] of figures.entries()) t.ok(Number(figure?.standardUncertainty) > 0, `figure ${index}`)
  t.equal(answer.readModes.length, 1)
  t.same(answer.readModes[0]?.electronsPerAdu, answer.electronsPerAdu)
})

void t.test('the camera goes unchanged into another question', async (t) => {
  const darks = [60, 300, 900].map((subSeconds) => ({
    subSeconds,
    meanAdu: 500 + 0.02 * 2 * subSeconds,
    temporalVarianceAdu2: 36 + 0.02 * 4 * subSeconds,
    pixelCount: 1e6,
  }))
  const { answer } = await ask({ levels: LADDER, darks, darksCelsius: -10, bitDepth: 16 })
  near(t, Number(answer.darkCurrent?.byMean.value), 0.02, 1e-9, 'dark current by the mean')
  near(t, Number(answer.darkCurrent?.byVariance.value), 0.02, 1e-9, 'and by the variance')
  t.match(answer.camera, { offsetAdu: 500, bitDepth: 16, darkCurrent: { atCelsius: -10 } })
  const sky = { electronsPerPixelSecond: 1 }
  const plan = { subSeconds: 60, subCount: 10 }
  const budget = await send<{ uncertainty?: unknown[] }>('/v1/noise-budget', { camera: answer.camera, sky, plan })
  t.equal(budget.status, 200)
  t.ok(budget.answer.uncertainty, 'its uncertainties travel along')
  const least = await ask({ levels: LADDER, darks })
  t.notOk(least.answer.camera.darkCurrent)
  t.match(least.answer.explanation.join(' '), /Give `darksCelsius`/)
})

void t.test('read modes stand side by side, and the camera has them to choose among', async (t) => {
  const quiet = LADDER.map((one) => ({
    ...one,
    darkTemporalVarianceAdu2: 9,
    temporalVarianceAdu2: one.temporalVarianceAdu2 - 27,
  }))
  const { answer } = await ask({
    readModes: [
      { label: 'plain', levels: LADDER },
      { label: 'quiet', levels: quiet },
      { label: 'never clipped', levels: LEVELS },
    ],
  })
  t.same(
    answer.readModes.map(({ label }) => label),
    ['plain', 'quiet', 'never clipped'],
  )
  near(t, Number(answer.readModes[1]?.readNoiseElectrons.value), 1.5, 1e-9, 'quiet')
  t.same(
    answer.camera.readModes?.map(({ label }) => label),
    ['plain', 'quiet'],
  )
  t.match(answer.explanation.join(' '), /“never clipped” is not in `camera`/)
  const body = { camera: answer.camera, sky: { electronsPerPixelSecond: 1 } }
  t.equal((await send('/v1/noise-budget', body)).status, 200)
})

void t.test('a spatial variance below zero is null and explained', async (t) => {
  const levels = LADDER.map((one) => ({ ...one, darkSpatialVarianceAdu2: -2, spatialVarianceAdu2: -3 }))
  const { answer } = await ask({ levels })
  t.equal(answer.darkNonUniformityElectrons, null)
  t.equal(answer.photoResponseNonUniformityShare, null)
  t.match(answer.explanation.join(' '), /DSNU and PRNU cannot be told: .*noise hides the pattern/)
})

void t.test('read noise under the rounding is bounded, not told', async (t) => {
  const levels = [{ meanAdu: 1100, temporalVarianceAdu2: 50.2, darkMeanAdu: 100, darkTemporalVarianceAdu2: 0.2 }]
  const { answer } = await ask({ levels })
  t.equal(answer.readNoiseWithoutQuantizationElectrons, null)
  near(t, Number(answer.readNoiseBelowElectrons), 20 * Math.sqrt(0.24 - 1 / 12), 1e-9, 'bound')
  t.match(answer.explanation.join(' '), /hides the read noise, which lies below/)
})

void t.test('two fits of the gain that differ are worth a sentence; numbers no camera has stay out', async (t) => {
  const bent = LEVELS.map((one) => ({ ...one, temporalVarianceAdu2: one.temporalVarianceAdu2 + 3000 }))
  const { answer } = await ask({ levels: bent })
  t.match(answer.explanation.join(' '), /A line with an intercept gives a gain .* higher/)
  const levels = [{ meanAdu: 1e6, temporalVarianceAdu2: 101, darkMeanAdu: 0, darkTemporalVarianceAdu2: 1 }]
  const odd = await ask({ levels })
  t.notOk(odd.answer.camera.electronsPerAdu)
  t.match(odd.answer.explanation.join(' '), /Left out of `camera`.*electronsPerAdu/)
})

void t.test('what is missing or contradicts itself is named by pointer', async (t) => {
  const errors = async (body: object) => (await ask(body)).errors
  t.match(await errors({}), [/^\/levels: missing/])
  t.match(await errors({ levels: LADDER, readModes: [{ label: 'a', levels: LADDER }] }), [/^\/levels: stands beside/])
  const [first, second] = LEVELS
  const without = { ...first, pixelCount: undefined }
  t.match(await errors({ levels: [without, second] }), [/^\/levels\/0\/pixelCount: missing/])
  t.match(await errors({ levels: LADDER, bitDepth: 14 }), [
    /^\/levels\/3\/meanAdu: 20500 ADU lies above the 16383/,
    /./,
    /./,
  ])
  const dark = { subSeconds: 60, meanAdu: 500, temporalVarianceAdu2: 36 }
  t.match(await errors({ levels: LADDER, darks: [dark, dark] }), [/^\/darks: all of one exposure/])
  const twice = { label: 'same', levels: LADDER }
  t.match(await errors({ readModes: [twice, twice] }), [/^\/readModes\/1\/label: “same” names/])
  const falling = LEVELS.map((one) => ({ ...one, temporalVarianceAdu2: 10 }))
  const refused = await ask({ readModes: [{ label: 'a', levels: falling }] })
  t.equal(refused.status, 422)
  t.match(refused.errors, [/^\/readModes\/0\/levels: The variance of the flats does not rise/])
})

void t.test(
  'a well that fills below the highest code: collapsed levels are saturated, clipped share 0 or not',
  async (t) => {
    // 1 e⁻/ADU, 4 e⁻ of read noise, a well of 9000 e⁻ over an offset of 300 ADU.
    const rows = [1000, 3000, 5000, 7000, 8800].map((signal) => [300 + signal, 16 + signal] as const)
    const levels = [...rows, [9300, 16] as const, [9300, 16] as const].map(([meanAdu, temporalVarianceAdu2]) => ({
      ...{ meanAdu, temporalVarianceAdu2, darkMeanAdu: 300, darkTemporalVarianceAdu2: 16, pixelCount: 1e5 },
    }))
    for (const clippedShare of [undefined, 0]) {
      const { answer } = await ask({ levels: levels.map((one) => ({ ...one, clippedShare })), bitDepth: 16 })
      near(t, answer.electronsPerAdu.value, 1, 1e-9, 'gain')
      near(t, answer.readNoiseElectrons.value, 4, 1e-9, 'read noise')
      t.match(answer.saturation, { method: 'variance-maximum', meanAdu: 9100 })
      t.match(answer.explanation.join(' '), /It saturates at 8800/)
    }
  },
)

void t.test('a flat darker than its dark is refused, as are all that were swapped', async (t) => {
  const swapped = { meanAdu: 500, temporalVarianceAdu2: 41, darkMeanAdu: 12_500, darkTemporalVarianceAdu2: 15_600 }
  const { status, errors } = await ask({ levels: [...LEVELS, { ...LEVELS[0], ...swapped }] })
  t.equal(status, 422)
  t.match(errors, [/^\/levels\/5\/meanAdu: a flat of 500 ADU is darker than its dark or bias of 12500 ADU/])
  const { status: even } = await ask({ levels: [...LEVELS, { ...level(0), exposureSeconds: 0.001 }] })
  t.equal(even, 200, 'one without light is as dark')
})
