// `/v1/photon-transfer` from frames: simulated ones of a known camera, and forms that hold none.

import t from 'tap'
import type { Test } from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { PhotonTransferAnswer } from '../../src/contract/photon-transfer.ts'
import type { Problem } from '../../src/contract/problem.ts'
import { photonTransfer } from '../../src/routes/photon-transfer/index.ts'
import { dataFile } from '../fits/support/read.ts'
import { card, plainFile, unsignedFile } from '../frames/support/fits-file.ts'
import { pick } from '../frames/support/fuzzed-file.ts'
import { naiveStatistics } from '../frames/support/naive.ts'
import { FORM_TYPE, formOf, type Part } from '../support/multipart.ts'
import { near } from '../support/near.ts'
import { seededRandom } from '../support/random.ts'
import { simulatedSensor } from '../support/simulated-sensor.ts'
import { exchange, listen, parseResponse } from '../support/socket.ts'

const app = await buildApp({
  endpoints: [photonTransfer],
  config: readConfig({ LOG_LEVEL: 'silent' }),
  uploads: { threads: 1 },
})
t.teardown(() => app.close())

async function send(parts: readonly Part[] | Buffer, headers: Record<string, string> = {}) {
  const response = await app.inject({
    method: 'POST',
    url: '/v1/photon-transfer',
    headers: { 'content-type': FORM_TYPE, ...headers },
    payload: Buffer.isBuffer(parts) ? parts : formOf(parts),
  })
  const body = response.json<PhotonTransferAnswer & Problem>()
  return {
    status: response.statusCode,
    answer: body,
    errors: body.errors ?? [],
    detail: body.detail,
    headers: response.headers,
  }
}

const SIDE_PX = 200
const AXES = [SIDE_PX, SIDE_PX]
/** The middle that is measured, as the description says: half of the width and height. */
const MIDDLE_PX = 100
const TRUTH = {
  pixelCount: SIDE_PX ** 2,
  electronsPerAdu: 0.8,
  readNoiseElectrons: 3.5,
  fullWellElectrons: 40_000,
  offsetAdu: 500,
  bitDepth: 16,
  photoResponseNonUniformityShare: 0.01,
  darkNonUniformityElectrons: 2,
  darkElectronsPerPixelSecond: 0.5,
  atCelsius: -10,
  activationEnergyElectronVolts: 0.6,
  hotPixelShare: 0,
  hotPixelFactor: 1,
}
const sensor = simulatedSensor(TRUTH, seededRandom(4711))
const frame = (lightElectrons: number, seconds: number, others: string[] = []) =>
  unsignedFile(
    sensor.frame({ lightElectrons, seconds, celsius: -10 }),
    [SIDE_PX, SIDE_PX],
    [card('EXPTIME', seconds), ...others],
  )

const pairOf = (name: string, lightElectrons: number, seconds: number): Part[] =>
  [1, 2].map((index) => [
    name,
    frame(lightElectrons, seconds, [card('CCD-TEMP', -10)]),
    `${name}-${seconds}-${index}.fits`,
  ])

const flats = [2000, 6000, 12_000, 18_000, 26_000, 36_000, 60_000].map((light) => pairOf('flat', light, light / 10_000))
const bias = pairOf('bias', 0, 0.001)
const darks = [100, 400].map((seconds) => pairOf('dark', 0, seconds))
const LADDER = [...flats.flat(), ...bias, ...darks.flat()]

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

void t.test(
  'a lamp that drifts within the pairs of an uneven field: the pattern does not pass for noise',
  async (t) => {
    const uneven = simulatedSensor(
      { ...TRUTH, fullWellElectrons: 90_000, photoResponseNonUniformityShare: 0.15 },
      seededRandom(4714),
    )
    const part = (name: string, lightElectrons: number, seconds: number): Part => [
      name,
      unsignedFile(uneven.frame({ lightElectrons, seconds, celsius: -10 }), AXES, [card('EXPTIME', seconds)]),
      `${name}.fits`,
    ]
    const drifting = [2000, 6000, 12_000, 18_000, 26_000].flatMap((light, index) => [
      part('flat', light, light / 10_000),
      part('flat', light * (1 + 0.05 * (-1) ** index), light / 10_000),
    ])
    const { status, answer, detail } = await send([...drifting, part('bias', 0, 0), part('bias', 0, 0)])
    t.equal(status, 200, detail)
    isFound(t, answer.electronsPerAdu, TRUTH.electronsPerAdu, 'gain')
  },
)

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

void t.test('forms that give no answer: a problem that points at the part', async (t) => {
  const [flat] = pairOf('flat', 9000, 1) as [Part]
  const bytes = flat[1] as Buffer
  const small = unsignedFile(new Float64Array(100).fill(9), [10, 10])
  const bare = unsignedFile(sensor.frame({ lightElectrons: 0, seconds: 0, celsius: -10 }), [SIDE_PX, SIDE_PX])
  const odd = (name: string, ...cards: string[]): Part[] => [1, 2].map(() => [name, frame(9000, 1, cards), 'x'])
  const long = (name: string): Part[] => [1, 2].map(() => [name, frame(20, 5e8), 'x'])
  const twice = (file: Buffer): Buffer => {
    const text = Buffer.from(file)
    text.write(card('EXPOSURE', 2), text.indexOf('END     '), 'latin1')
    text.write('END', text.indexOf('EXPOSURE') + 80, 'latin1')
    return text
  }
  const cases: [string, Part[], number, string, RegExp][] = [
    [
      'an exposure of years',
      [...long('flat'), ...bias],
      422,
      '/flat/0',
      /`exposureSeconds` comes to 500000000; .*86400/,
    ],
    ['darks of years', [...pairOf('flat', 9000, 1), ...bias, ...long('dark')], 422, '/dark/0', /at most 86400/],
    [
      'darks below zero kelvin',
      [...pairOf('flat', 9000, 1), ...bias, ...odd('dark', card('CCD-TEMP', -999))],
      422,
      '/dark',
      /`darksCelsius` comes to -999; allowed: at least -150/,
    ],
    ['no flats', bias, 400, '/flat', /two flats or more/],
    ['nothing at all', [], 400, '/flat', /two flats/],
    ['no bias', pairOf('flat', 9000, 1), 400, '/bias', /two bias frames/],
    ['one file twice', [flat, flat, ...bias], 422, '/flat/0', /one file twice/],
    [
      'flats and bias swapped',
      [...pairOf('flat', 0, 1), ...pairOf('bias', 9000, 0.001)],
      422,
      '/flat/0',
      /darker than its dark or bias of 117\d\d/,
    ],
    [
      'an exposure twice',
      [...pairOf('flat', 9000, 1).map(([name, file]): Part => [name, twice(file as Buffer), 'x']), ...bias],
      422,
      '/flat/0',
      /EXPTIME 1 beside EXPOSURE 2 is not usable .* no field `exposureSeconds`/,
    ],
    [
      'levels in turn, of one exposure',
      [...[9000, 18_000, 9000, 18_000].map((light): Part => ['flat', frame(light, 1), 'x']), ...bias],
      422,
      '/flat/0',
      /differ by 112\d\d ADU: send both flats of one level right after each other/,
    ],
    [
      'levels in turn, of two exposures',
      [...[1, 2, 1, 2].map((seconds): Part => ['flat', frame(9000 * seconds, seconds), 'x']), ...bias],
      400,
      '/flat',
      /both of one exposure right after each other, then both of the next/,
    ],
    ['not FITS', [flat, ['flat', Buffer.from('hello'), 'x']], 400, '/flat/1', /FITS/],
    ['cut short', [...bias, ['flat', bytes.subarray(0, 9000), 'x']], 400, '/flat/0', /declares 80000 data bytes/],
    ['another size', [flat, ['flat', small, 'x']], 422, '/flat/1', /10 x 10 pixels, not 200 x 200/],
    ['colour planes', [['flat', dataFile('cube.fits'), 'x']], 422, '/flat/0', /raw frames/],
    ['a dark of unknown exposure', [['dark', bare, 'x']], 422, '/dark/0', /exposureSeconds/],
    ['another name', [['flats', bytes, 'x']], 400, '/flats', /flat, bias, dark/],
    ['an unknown field', [['bayer', 'RGGB']], 400, '/bayer', /did you mean `bayerPattern`/],
    ['a frame without a file name', [['flat', 'SIMPLE']], 400, '/flat', /must be a file/],
    ['a field out of range', [['bitDepth', '99']], 400, '/bitDepth', /32/],
    ['a field too long', [['bitDepth', '1'.repeat(300)]], 400, '/bitDepth', /100 bytes/],
  ]
  for (const [name, parts, status, pointer, message] of cases) {
    const answered = await send(parts)
    t.equal(answered.status, status, name)
    t.equal(answered.errors[0]?.pointer, pointer, name)
    t.match(answered.errors[0]?.message ?? '', message, name)
  }
})

const ODD_KEYWORDS = ['CCD-TEMP', 'EXPTIME', 'BZERO', 'BSCALE', 'BLANK', 'BAYERPAT']
const ODD_VALUES = ['1e999', '-1e300', '1e30', '1E-30', '1e-300', '0', '-10', "'x'", '65535', '1e9', '5e8', 'T']
const FORMS = 200
const SEED = Number(process.env.FUZZ_SEED ?? 20_260_103)

void t.test(`${FORMS} forms of frames with odd headers (seed ${SEED}): an answer, or a 4xx`, async (t) => {
  const random = seededRandom(SEED)
  let bitsPerSample: 16 | 32 | -32 = 16
  const pair = (name: string, level: number, seconds: number, odd: string[]): Part[] =>
    [1, 2].map(() => {
      const samples = Float64Array.from({ length: 400 }, () => Math.round(random.normal(level, Math.sqrt(level))))
      const others = [...odd, card('EXPTIME', seconds), card('CCD-TEMP', -10)]
      return [name, plainFile(samples, bitsPerSample, [20, 20], others), 'x']
    })
  const statuses = new Map<number, number>()
  for (let form = 0; form < FORMS; form++) {
    bitsPerSample = pick(random, [16, 32, -32] as const)
    const odd = `${pick(random, ODD_KEYWORDS).padEnd(8)}= ${pick(random, ODD_VALUES).padStart(20)}`
    const parts = [
      ...[3000, 10_000, 25_000].flatMap((level) =>
        pair('flat', level, level / 1000, random.uniform() < 0.5 ? [odd] : []),
      ),
      ...pair('bias', 500, 0.001, []),
      ...[100, 300].flatMap((seconds) => pair('dark', 500 + seconds / 10, seconds, [odd])),
    ]
    const { status } = await send(parts)
    statuses.set(status, (statuses.get(status) ?? 0) + 1)
  }
  t.same(
    [...statuses.keys()].filter((status) => ![200, 400, 422].includes(status)),
    [],
  )
  t.ok(statuses.size === 3, 'all three are met')
})

void t.test('what is no form, or too much of one', async (t) => {
  const whole = formOf(LADDER)
  t.match(await send(whole.subarray(0, 100_000)), { status: 400, detail: /form breaks off/ })
  t.match(await send(Buffer.from('hello')), { status: 400, detail: /form breaks off/ })
  t.match(await send(whole, { 'content-type': 'multipart/form-data' }), { status: 400 })
  t.match(await send(whole, { 'content-encoding': 'gzip' }), { status: 415 })
  t.match(await send(whole, { 'content-type': 'text/plain' }), { status: 415 })
  t.match(await send(whole, { accept: 'text/html' }), { status: 406 })
  const many = Array.from({ length: 65 }, (): Part => ['bias', unsignedFile([1, 2, 3, 4], [2, 2]), 'x'])
  t.match(await send(many), { status: 413, detail: /64 files/ })
  t.match(await send(Array.from({ length: 70 }, (): Part => ['bitDepth', '16'])), { status: 413 })
  t.match(await send(LADDER), { status: 200 }, 'and every place is free again')
})

void t.test('over a connection: refused half-way, it is heard; asked first, it is let go on', async (t) => {
  const port = await listen(app)
  const head = (type: string, length: number, ...others: string[]) =>
    [
      'POST /v1/photon-transfer HTTP/1.1',
      'Host: a',
      `Content-Type: ${type}`,
      `Content-Length: ${length}`,
      ...others,
      '',
      '',
    ].join('\r\n')
  const bad = formOf([['bitDepth', '99'], ...LADDER, ...LADDER])
  const json = JSON.stringify({ levels: [] })
  const received = await exchange(
    port,
    head(FORM_TYPE, bad.length),
    bad,
    head('application/json', json.length, 'Connection: close'),
    json,
  )
  t.same(received.match(/HTTP\/1.1 \d+/g), ['HTTP/1.1 400', 'HTTP/1.1 400'])
  const good = formOf(LADDER)
  const asking = ['Expect: 100-continue', 'Connection: close']
  t.match(
    await exchange(port, head(FORM_TYPE, good.length, ...asking), good),
    /^HTTP\/1.1 100 Continue\r\n\r\nHTTP\/1.1 200 OK/,
  )
  t.match(
    await exchange(port, head('application/json', json.length, ...asking), json),
    /^HTTP\/1.1 100 Continue\r\n\r\nHTTP\/1.1 400/,
  )
  const tooLong = parseResponse(await exchange(port, head('application/json', 1e9, ...asking)))
  t.equal(tooLong.status, 413)
})

void t.test('what a form would not read is refused, not passed over', async (t) => {
  const pair = [...pairOf('flat', 9000, 1), ...pairOf('bias', 0, 0.001)]
  const response = await app.inject({
    method: 'POST',
    url: '/v1/photon-transfer?saturationAdu=60000',
    headers: { 'content-type': FORM_TYPE },
    payload: formOf(pair),
  })
  t.equal(response.statusCode, 400)
  t.match(response.json(), { errors: [{ message: 'unknown query parameter `saturationAdu`' }] })
  const unknown = await send([['a/b', frame(9000, 1), 'x.fits']])
  t.equal(unknown.errors[0]?.pointer, '/a~1b')
  const blanked = frame(9000, 1, [card('BLANK', -32768)])
  const apart = await send([
    ['flat', frame(9000, 1), 'a.fits'],
    ['flat', blanked, 'b.fits'],
    ...pairOf('bias', 0, 0.001),
  ])
  t.equal(apart.status, 422)
  t.match(apart.detail, /another BLANK/)
})
