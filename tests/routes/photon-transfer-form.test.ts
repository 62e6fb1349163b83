// Photon transfer from the frames themselves: the figures that come out.

import t from 'tap'
import type { Test } from 'tap'
import type { PhotonTransferAnswer } from '../../src/contract/photon-transfer.ts'
import { card, unsignedFile } from '../frames/support/fits-file.ts'
import { naiveStatistics } from '../frames/support/naive.ts'
import type { Part } from '../support/multipart.ts'
import { near } from '../support/near.ts'
import { seededRandom } from '../support/random.ts'
import { simulatedSensor } from '../support/simulated-sensor.ts'
import {
  app,
  AXES,
  bias,
  frame,
  LADDER,
  MIDDLE_PX,
  pairOf,
  send,
  sensor,
  SIDE_PX,
  TRUTH,
} from './photon-transfer-forms.ts'

t.teardown(() => app.close())

function isFound(
  t: Test,
  figure: { value: number; standardUncertainty: number | null } | null,
  truth: number,
  name: string,
) {
  const { value, standardUncertainty } = figure ?? { value: NaN, standardUncertainty: NaN }
  const off = (value - truth) / Number(standardUncertainty)
  t.ok(Math.abs(off) < 3, `${name}: ${value} ± ${standardUncertainty}, true ${truth}, off by ${off}`)
}

void t.test('a known camera is found again, each figure within three of its own standard errors', async (t) => {
  const { status, answer, detail } = await send([['bitDepth', '16'], ...LADDER])
  t.equal(status, 200, detail)
  isFound(t, answer.electronsPerAdu, TRUTH.electronsPerAdu, 'gain')
  const rounding = TRUTH.electronsPerAdu ** 2 / 12
  isFound(t, answer.readNoiseElectrons, Math.hypot(TRUTH.readNoiseElectrons, Math.sqrt(rounding)), 'read noise')
  isFound(t, answer.fullWellElectrons, TRUTH.fullWellElectrons, 'full well')
  isFound(t, answer.darkCurrent?.byMean ?? null, TRUTH.darkElectronsPerPixelSecond, 'dark current')
  near(t, Number(answer.photoResponseNonUniformityShare?.value), 0.01, 0.05, 'PRNU')
  t.match(answer.camera, { bitDepth: 16, darkCurrent: { atCelsius: -10 } })
  t.match(answer.assumptions, [{ pointer: '/darksCelsius', value: -10 }, { pointer: '/saturationAdu' }])
  t.match(answer.explanation.join(' '), /100 x 100 pixels in the middle/)
  for (const sentence of [...answer.explanation, ...answer.cautions]) t.match(sentence, /^[A-Z0-9“].*[.]$/)
})

/** Flats of a field so uneven that what they share would pass for noise, the second of each pair in another light. */
const unevenPairs = (change: number): Part[] => {
  const uneven = simulatedSensor(
    { ...TRUTH, fullWellElectrons: 90_000, photoResponseNonUniformityShare: 0.15 },
    seededRandom(4714),
  )
  const part = (name: string, lightElectrons: number, seconds: number): Part => [
    name,
    unsignedFile(uneven.frame({ lightElectrons, seconds, celsius: -10 }), AXES, [card('EXPTIME', seconds)]),
    `${name}.fits`,
  ]
  const flats = [2000, 6000, 12_000, 18_000, 26_000].flatMap((light, index) => [
    part('flat', light, light / 10_000),
    part('flat', light * (1 + change * (-1) ** index), light / 10_000),
  ])
  return [...flats, part('bias', 0, 0), part('bias', 0, 0)]
}

void t.test('a lamp that drifts within the pairs of an uneven field: what they share is no noise', async (t) => {
  const drifting = await send(unevenPairs(0.05))
  t.equal(drifting.status, 200, drifting.detail)
  isFound(t, drifting.answer.electronsPerAdu, TRUTH.electronsPerAdu, 'gain')
  t.match(drifting.answer.cautions, [
    /^The light changed from one flat of a pair to the other \(flat 1 “flat.fits”: 4.9 %, flat 3 “flat.fits”: 5.1 %, .*taken off/,
  ])
  const steady = await send(unevenPairs(0))
  isFound(t, steady.answer.electronsPerAdu, TRUTH.electronsPerAdu, 'gain in a steady light')
  t.same(steady.answer.cautions, [])
  const wild = await send(unevenPairs(0.09))
  t.equal(wild.status, 422)
  t.match(wild.errors, [
    { pointer: '/flat/4' },
    { pointer: '/flat/6', message: /the light changed by 9.4 % from this flat to the next.*let the lamp settle/ },
    { pointer: '/flat/8' },
  ])
})

void t.test('a converter that clips before the wells are full: by the pixels at its highest code', async (t) => {
  const clipping = simulatedSensor({ ...TRUTH, fullWellElectrons: 90_000 }, seededRandom(4712))
  const pair = (name: string, lightElectrons: number): Part[] =>
    [1, 2].map(() => [name, unsignedFile(clipping.frame({ lightElectrons, seconds: 0, celsius: -10 }), AXES), 'x'])
  const { answer } = await send([
    ...[5000, 15_000, 25_000, 35_000, 44_000, 50_000, 53_500].flatMap((light) => pair('flat', light)),
    ...pair('bias', 0),
  ])
  t.equal(answer.saturation?.method, 'clipped-share')
  isFound(t, answer.fullWellElectrons, (65_535 - TRUTH.offsetAdu) * TRUTH.electronsPerAdu, 'full well')
  isFound(t, answer.electronsPerAdu, TRUTH.electronsPerAdu, 'gain')
})

void t.test('the statistics, sent as JSON, give the same figures', async (t) => {
  const { answer } = await send(LADDER)
  const payload = { ...answer.measured, darksCelsius: -10 }
  const response = await app.inject({ method: 'POST', url: '/v1/photon-transfer', payload })
  const json = response.json<PhotonTransferAnswer>()
  t.equal(response.statusCode, 200, response.body)
  for (const figure of [
    'electronsPerAdu',
    'gain',
    'readNoiseElectrons',
    'saturation',
    'linearity',
    'darkCurrent',
    'camera',
  ] as const) {
    t.same(json[figure], answer[figure], figure)
  }
})

const pixelsOf = (file: Buffer) =>
  Array.from({ length: SIDE_PX ** 2 }, (_, at) => file.readInt16BE(2880 + 2 * at) + 32_768)
const inMiddle = (at: number) =>
  [at % SIDE_PX, Math.floor(at / SIDE_PX)].every((place) => place >= 50 && place < 50 + MIDDLE_PX)

/** Half the variance of the difference, and the covariance, the slow and obvious way. */
function naivePair(one: number[], other: number[]) {
  const [meanOne, meanOther] = [naiveStatistics(one, null).mean, naiveStatistics(other, null).mean]
  const sum = (term: (a: number, b: number) => number) =>
    one.reduce((total, a, at) => total + term(a - meanOne, (other[at] ?? NaN) - meanOther), 0)
  const divisor = one.length - 1
  return {
    mean: (meanOne + meanOther) / 2,
    temporal: sum((a, b) => (a - b) ** 2) / 2 / divisor,
    spatial: sum((a, b) => a * b) / divisor,
  }
}

void t.test('statistics of a pair against naive ones: mono, and the green pixels of a Bayer pattern', async (t) => {
  const parts = [...pairOf('flat', 9000, 1), ...bias]
  const [one, other] = parts.map(([, file]) => pixelsOf(file as Buffer)) as [number[], number[]]
  const pick = (pixels: number[], isIn: (at: number) => boolean) => pixels.filter((_, at) => inMiddle(at) && isIn(at))
  const levelOf = async (fields: Part[]) => (await send([...fields, ...parts])).answer.measured?.levels[0]
  const mono = await levelOf([])
  const whole = naivePair(
    pick(one, () => true),
    pick(other, () => true),
  )
  near(t, Number(mono?.meanAdu), whole.mean, 1e-12, 'mean')
  near(t, Number(mono?.temporalVarianceAdu2), whole.temporal, 1e-9, 'variance in time')
  near(t, Number(mono?.spatialVarianceAdu2), whole.spatial, 1e-9, 'covariance')
  t.equal(mono?.pixelCount, MIDDLE_PX ** 2)
  const isGreen = (row: number) => (at: number) =>
    Math.floor(at / SIDE_PX) % 2 === row && (at % SIDE_PX) % 2 === 1 - row
  const greens = [0, 1].map((row) => naivePair(pick(one, isGreen(row)), pick(other, isGreen(row))))
  const bayer = await levelOf([['bayerPattern', 'RGGB']])
  const average = (figure: 'mean' | 'temporal' | 'spatial') => greens.reduce((sum, green) => sum + green[figure], 0) / 2
  near(t, Number(bayer?.meanAdu), average('mean'), 1e-12, 'mean of green')
  near(t, Number(bayer?.temporalVarianceAdu2), average('temporal'), 1e-9, 'variance of green')
  near(t, Number(bayer?.spatialVarianceAdu2), average('spatial'), 1e-9, 'covariance of green')
  t.equal(bayer?.pixelCount, MIDDLE_PX ** 2 / 2)
})

void t.test(
  'a frame without a partner is left out and named; darks as long as the flats go before bias frames',
  async (t) => {
    const odd: Part = ['flat', frame(3000, 0.7), 'odd \u0007one.fits']
    const { answer } = await send([...pairOf('flat', 9000, 1), odd, ...bias, ...pairOf('dark', 800, 1)])
    t.match(answer.explanation.at(-1), /Left out, for want of a partner right before or after: flat 3 “odd one.fits”\./)
    t.equal(answer.measured?.levels.length, 1)
    t.ok(Number(answer.measured?.levels[0]?.darkMeanAdu) > 1000, 'from the darks, which are lit here to tell them')
    const given = await send([['saturationAdu', '600'], ...pairOf('flat', 9000, 1), ...bias])
    t.equal(given.answer.measured?.levels[0]?.clippedShare, 1)
  },
)

void t.test('a Bayer pattern that is not known here is told', async (t) => {
  const lit = (light: number): Part[] => [1, 2].map(() => ['flat', frame(light, 1, [card('BAYERPAT', 'XTRANS')]), 'x'])
  const parts = [...lit(9000), ...[1, 2].map((): Part => ['bias', frame(0, 0.001, [card('BAYERPAT', 'XTRANS')]), 'x'])]
  t.match((await send(parts)).answer.cautions, [/BAYERPAT “XTRANS” is none of/])
  t.same((await send([['bayerPattern', 'RGGB'], ...parts])).answer.cautions, [])
})

void t.test('exposures from fields, which count for the files after them', async (t) => {
  const bare = (light: number): Buffer =>
    unsignedFile(sensor.frame({ lightElectrons: light, seconds: 0, celsius: -10 }), [SIDE_PX, SIDE_PX])
  const { answer } = await send([
    ['exposureSeconds', '1'],
    ...[1, 2].map((index): Part => ['flat', bare(5000), `${index}`]),
    ['exposureSeconds', '2'],
    ...[3, 4].map((index): Part => ['flat', bare(10_000), `${index}`]),
    ...bias,
  ])
  t.same(
    answer.measured?.levels.map(({ exposureSeconds }) => exposureSeconds),
    [1, 2],
  )
})
