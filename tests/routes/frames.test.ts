// `/v1/frames` over HTTP: values against simulated frames of known truth, and bodies that are no frame at all.

import { gzipSync } from 'node:zlib'
import t from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { FramesAnswer } from '../../src/contract/frames.ts'
import { PROBLEMS, type Problem, type ProblemKind } from '../../src/contract/problem.ts'
import { frames } from '../../src/routes/frames/index.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { skyBackground } from '../../src/routes/sky-background/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { dataFile } from '../fits/support/read.ts'
import { card, header, imageCards, plainFile, unsignedFile } from '../frames/support/fits-file.ts'
import { fuzzedFile } from '../frames/support/fuzzed-file.ts'
import { simulate, starField } from '../frames/support/simulate.ts'
import { near, within } from '../support/near.ts'
import { seededRandom } from '../support/random.ts'

const app = await buildApp({
  endpoints: [frames, noiseBudget, skyBackground, subExposure],
  config: readConfig({ LOG_LEVEL: 'silent' }),
})
t.teardown(() => app.close())

interface Sent {
  status: number
  answer: FramesAnswer
  problem: Problem
  headers: Record<string, unknown>
}

async function send(payload: Buffer, query = '', headers: Record<string, string> = {}): Promise<Sent> {
  const response = await app.inject({
    method: 'POST',
    url: `/v1/frames${query}`,
    headers: { 'content-type': 'application/fits', ...headers },
    payload,
  })
  const body = response.json<FramesAnswer & Problem>()
  return { status: response.statusCode, answer: body, problem: body, headers: response.headers }
}

const SIDE_PX = 512
const AXES = [SIDE_PX, SIDE_PX]
const SUB_SECONDS = 120
const GAIN = 2
const OFFSET_ADU = 500
const SKY_ELECTRONS = 400
const READ_NOISE_ELECTRONS = 2
const stars = starField({
  ...{ seed: 7, count: 40, widthPx: SIDE_PX, heightPx: SIDE_PX, margin: 20 },
  ...{ faintest: 2000, brightest: 2e5, fwhmPx: 3 },
})
const adu = simulate({
  ...{
    widthPx: SIDE_PX,
    heightPx: SIDE_PX,
    seed: 8,
    stars,
    acrossWidthElectrons: 60,
    hotShare: 1e-3,
    hotElectrons: 2e4,
  },
  ...{
    skyElectrons: SKY_ELECTRONS,
    readNoiseElectrons: READ_NOISE_ELECTRONS,
    electronsPerAdu: GAIN,
    offsetAdu: OFFSET_ADU,
  },
})
const EXPOSED = [card('EXPTIME', SUB_SECONDS), card('CCD-TEMP', -10)]
const file = unsignedFile(adu, AXES, EXPOSED)
const GZIP = { 'content-encoding': 'gzip' }
const KNOWN = `?offsetAdu=${OFFSET_ADU}&electronsPerAdu=${GAIN}`

void t.test('a simulated sky is found again, in electrons', async (t) => {
  const { status, answer } = await send(file, KNOWN)
  t.equal(status, 200)
  const noiseElectrons = Math.sqrt(SKY_ELECTRONS + READ_NOISE_ELECTRONS ** 2 + GAIN ** 2 / 12)
  within(t, answer.background.adu, OFFSET_ADU + SKY_ELECTRONS / GAIN, 0.2, 'background')
  near(t, Number(answer.background.electronsPerPixelSecond), SKY_ELECTRONS / SUB_SECONDS, 2e-3, 'rate')
  near(t, Number(answer.noise.electrons), noiseElectrons, 0.01, 'noise')
  near(t, Number(answer.gradient?.cornerToCornerShare), 60 / SKY_ELECTRONS, 0.05, 'gradient')
  near(t, answer.hotPixels.share, 1e-3, 0.2, 'hot pixels')
  near(t, Number(answer.stars.fwhmPx), 3, 0.03, 'width')
  const brightest = Math.max(...stars.map(({ fluxElectrons }) => fluxElectrons))
  near(t, Number(answer.stars.brightest[0]?.fluxElectrons), brightest, 0.01, 'flux')
  t.match(answer.frame, { widthPx: SIDE_PX, color: 'mono', subSeconds: SUB_SECONDS, temperatureCelsius: -10 })
  t.match(answer.assumptions, [
    { pointer: '/bayerPattern' },
    { pointer: '/saturationAdu', value: 65535 },
    { value: 120 },
  ])
  for (const sentence of [...answer.explanation, ...answer.cautions]) t.match(sentence, /^[A-Z0-9“].*[.]$/)
})

void t.test('`sky` and `camera` go to the other questions as they are, and say the same there', async (t) => {
  const { answer } = await send(file, KNOWN)
  t.same(answer.sky, { measured: { backgroundAdu: answer.background.adu, subSeconds: SUB_SECONDS } })
  const camera = { ...answer.camera, readNoiseElectrons: READ_NOISE_ELECTRONS, pixelSizeUm: 3.76, color: 'mono' }
  const budget = {
    camera: { ...camera, darkCurrent: { electronsPerPixelSecond: 0, atCelsius: -10 }, temperatureCelsius: -10 },
    ...{ sky: answer.sky, target: { electronsPerPixelSecond: 0.1 }, plan: { subSeconds: SUB_SECONDS, subCount: 1 } },
  }
  const response = await app.inject({ method: 'POST', url: '/v1/noise-budget', payload: budget })
  t.equal(response.statusCode, 200, response.body)
  const { perSub } = response.json<{ perSub: { noiseElectrons: number; shares: { sky: number } } }>()
  near(t, perSub.noiseElectrons ** 2 * perSub.shares.sky, SKY_ELECTRONS, 2e-3, 'variance of the sky')
  const advice = await app.inject({
    method: 'POST',
    url: '/v1/sub-exposure',
    payload: { camera: budget.camera, sky: answer.sky, plan: { readNoiseTolerance: 0.05 } },
  })
  t.equal(advice.statusCode, 200, advice.body)
  // Read noise adds a share p to the noise where the sky's variance is that of a read over (1 + p)² − 1.
  const swamped = READ_NOISE_ELECTRONS ** 2 / (1.05 ** 2 - 1) / (SKY_ELECTRONS / SUB_SECONDS)
  const { limits } = advice.json<{ limits: { kind: string; seconds: number }[] }>()
  near(t, Number(limits.find(({ kind }) => kind === 'lower')?.seconds), swamped, 5e-3, 'shortest sub')
})

void t.test('what is not known is null, and the answer says what to give', async (t) => {
  const { answer } = await send(unsignedFile(adu, AXES))
  t.equal(answer.background.electronsPerPixelSecond, null)
  t.equal(answer.sky, null)
  t.same(answer.camera, {})
  t.match(answer.explanation.join(' '), /give `subSeconds`, `electronsPerAdu` and `offsetAdu` in the query/)
  const given = await send(unsignedFile(adu, AXES), `${KNOWN}&subSeconds=60`)
  near(t, Number(given.answer.background.electronsPerPixelSecond), SKY_ELECTRONS / 60, 2e-3, 'rate')
  const nominal = await send(unsignedFile(adu, AXES, [...EXPOSED, card('EGAIN', 1.9)]), `?offsetAdu=500`)
  t.equal(nominal.answer.camera.electronsPerAdu, 1.9)
  t.match(nominal.answer.assumptions.at(-1), { pointer: '/electronsPerAdu', value: 1.9, reason: /nominal/ })
  const odd = [card('EXPTIME', -5), card('CCD-TEMP', -999), card('EGAIN', 0)]
  t.match((await send(unsignedFile(adu, AXES, odd))).answer, {
    frame: { subSeconds: null, temperatureCelsius: null },
    camera: { electronsPerAdu: undefined },
  })
  const tooHigh = await send(file, '?offsetAdu=5000&electronsPerAdu=2')
  t.match(tooHigh.answer.cautions.join(' '), /lies below the offset/)
  t.equal(tooHigh.answer.sky, null)
  const rightGain = await send(file, KNOWN)
  t.same(rightGain.answer.cautions, [])
  t.match(
    (await send(file, '?offsetAdu=500&electronsPerAdu=1')).answer.cautions.join(' '),
    /less than the photons alone/,
  )
})

void t.test('colours: a Bayer pattern in the header or the query, three planes; green at the top', async (t) => {
  const expected = { red: 0.5, green: 1, blue: 0.25 }
  const seen = simulate({
    ...{ widthPx: SIDE_PX, heightPx: SIDE_PX, seed: 9, responses: [0.5, 1, 1, 0.25] as const, stars: [] },
    ...{
      skyElectrons: SKY_ELECTRONS,
      readNoiseElectrons: READ_NOISE_ELECTRONS,
      electronsPerAdu: GAIN,
      offsetAdu: OFFSET_ADU,
    },
  })
  const named = await send(unsignedFile(seen, AXES, [...EXPOSED, card('BAYERPAT', 'RGGB')]), KNOWN)
  const asked = await send(unsignedFile(seen, AXES, EXPOSED), `${KNOWN}&bayerPattern=RGGB`)
  t.same(asked.answer.planes, named.answer.planes)
  t.match(named.answer, { channel: 'green', frame: { color: 'bayer', bayerPattern: 'RGGB' } })
  for (const plane of named.answer.planes) {
    const share = expected[plane.channel as keyof typeof expected]
    near(
      t,
      Number(plane.background.electronsPerPixelSecond),
      (share * SKY_ELECTRONS) / SUB_SECONDS,
      5e-3,
      plane.channel,
    )
  }
  const cube = (await send(dataFile('cube.fits'))).answer
  t.same([cube.frame.color, ...cube.planes.map(({ channel }) => channel)], ['planes', 'red', 'green', 'blue'])
  t.match(await send(dataFile('cube.fits'), '?bayerPattern=RGGB'), { status: 422 })
})

void t.test('the commands of the description', async (t) => {
  const commands = frames.description.matchAll(/curl .*\/v1\/frames(\?[^']*)'/g)
  const bare = unsignedFile(adu, AXES)
  const answers = []
  for (const [command, query = ''] of commands) {
    const isZipped = command.includes('Content-Encoding: gzip')
    answers.push(await send(isZipped ? gzipSync(bare) : bare, query, isZipped ? GZIP : {}))
  }
  t.match(answers, [
    { status: 200, answer: { camera: { offsetAdu: 500, electronsPerAdu: 0.78 }, frame: { color: 'mono' } } },
    { status: 200, answer: { sky: { measured: { subSeconds: 120 } }, frame: { color: 'bayer' } } },
  ])
  t.match(answers[1]?.answer.explanation.at(-1), /with `electronsPerAdu` and `offsetAdu` in your `camera`/)
})

void t.test('gzip says the same, under both media types', async (t) => {
  const plain = await send(file, KNOWN)
  const zipped = await send(gzipSync(file), KNOWN, { 'content-encoding': 'gzip', 'content-type': 'image/fits; a=b' })
  t.same(zipped.answer, plain.answer)
})

const constant = (value: number, bits: 16 | -32 = 16) =>
  plainFile(new Float64Array(SIDE_PX ** 2).fill(value), bits, AXES)
const frameHeader = (axes: number[]) => header(imageCards({ bitsPerSample: 16, axes }))
function wrongChecksum(): Buffer {
  const zipped = gzipSync(file)
  zipped.writeUInt32LE(zipped.readUInt32LE(zipped.length - 8) ^ 1, zipped.length - 8)
  return zipped
}
const bomb = () => gzipSync(Buffer.concat([frameHeader([8000, 8000]), Buffer.alloc(130 * 2 ** 20)]))

void t.test('bodies that are no frame: a clear problem each', async (t) => {
  const refused: [string, ProblemKind, RegExp, Buffer, Record<string, string>?][] = [
    ['truncated', 'unreadable-request', /declares 524288 data bytes; \d+ came/, file.subarray(0, 100_000)],
    ['header cut', 'unreadable-request', /header/i, file.subarray(0, 1000)],
    ['not FITS', 'unreadable-request', /not a FITS file/, Buffer.from('hello')],
    ['empty', 'unreadable-request', /empty/, Buffer.alloc(0)],
    ['gzip that is not announced', 'unreadable-request', /compressed by gzip/, gzipSync(file)],
    [
      'lying',
      'unreadable-request',
      /goes on after the declared data/,
      Buffer.concat([frameHeader([512, 10]), file.subarray(2880)]),
    ],
    ['broken gzip', 'unreadable-request', /does not inflate/, file, GZIP],
    ['cut gzip', 'unreadable-request', /does not inflate/, gzipSync(file).subarray(0, 5000), GZIP],
    ['gigabytes declared', 'body-too-large', /134217728 bytes/, frameHeader([100_000, 100_000])],
    ['gzip bomb', 'body-too-large', /134217728 bytes/, bomb(), GZIP],
    ['gzip with a wrong checksum', 'unreadable-request', /does not inflate/, wrongChecksum(), GZIP],
    ['gzip of nothing', 'unreadable-request', /not a FITS file/, gzipSync(''), GZIP],
    ['nothing but a header', 'unreadable-request', /declares 524288 data bytes; 0 came/, file.subarray(0, 2880)],
    ['zero size', 'no-answer', /NAXIS1 is 0/, frameHeader([0, 10])],
    ['zero size the other way', 'no-answer', /NAXIS2 is 0/, frameHeader([10, 0])],
    ['no axes', 'no-answer', /NAXIS is 0/, frameHeader([])],
    ['one axis', 'no-answer', /not a picture/, frameHeader([10])],
    ['a negative axis', 'unreadable-request', /NAXIS2 is -5/, frameHeader([10, -5])],
    ['64-bit integers', 'unreadable-request', /BITPIX is 64/, plainFile([1, 2], 64 as 32, [2, 1])],
    ['tile-compressed', 'no-answer', /tile-compressed/, dataFile('tile-compressed.fits')],
    ['in an extension', 'no-answer', /extension/, dataFile('image-in-extension.fits')],
    ['a table', 'no-answer', /no picture/, dataFile('table-only.fits')],
    ['four planes', 'no-answer', /not a picture/, dataFile('four-planes.fits')],
    ['NaN throughout', 'no-answer', /blank, NaN or infinite/, constant(NaN, -32)],
    ['infinite throughout', 'no-answer', /blank, NaN or infinite/, constant(Infinity, -32)],
    [
      'another type',
      'unsupported-media-type',
      /application\/fits or image\/fits/,
      file,
      { 'content-type': 'application/json' },
    ],
    ['another coding', 'unsupported-media-type', /gzip, identity are/, file, { 'content-encoding': 'br' }],
    ['not acceptable', 'not-acceptable', /application\/json/, file, { accept: 'text/html' }],
  ]
  for (const [name, kind, detail, body, headers] of refused) {
    const { status, problem, headers: answered } = await send(body, '', headers)
    t.equal(status, PROBLEMS[kind].status, name)
    t.equal(problem.type, `/problems/${kind}`, name)
    t.match(problem.detail, detail, name)
    t.equal(answered['content-type'], 'application/problem+json; charset=utf-8')
  }
  t.equal((await send(file)).status, 200, 'and the workers are still there')
})

void t.test('frames without a sky: a stated result', async (t) => {
  const alike = await send(constant(1000), '?subSeconds=60')
  t.match(alike, {
    status: 200,
    answer: { conditions: ['constant'], sky: null, noise: { adu: 0 }, stars: { count: 0 } },
  })
  t.match(await send(constant(0.25, -32)), {
    status: 200,
    answer: { conditions: ['constant'], background: { adu: 0.25 } },
  })
  const full = await send(unsignedFile(new Float64Array(SIDE_PX ** 2).fill(65_535), AXES))
  t.match(full, { status: 200, answer: { conditions: ['constant', 'all-clipped'], clippedShare: 1, sky: null } })
  t.match(full.answer.cautions.join(' '), /Every pixel is clipped/)
  t.match(alike.answer.cautions.join(' '), /All pixels are alike/)
  const clipped = await send(file, '?saturationAdu=100')
  t.match(clipped, { status: 200, answer: { conditions: ['all-clipped'], clippedShare: 1, sky: null } })
  const tiny = await send(unsignedFile([500, 501, 502, 503], [2, 2]), '?subSeconds=60')
  t.match(tiny, { status: 200, answer: { conditions: ['too-small'], gradient: null } })
  t.match(tiny.answer.cautions.join(' '), /too small/)
  const scaled = await send(
    plainFile(
      adu.map((value, at) => (at === 9 ? NaN : value / 65_536)),
      -32,
      AXES,
    ),
  )
  t.match(scaled.answer.cautions.join(' '), /without a value.*scaled, not raw/)
  t.match(scaled.answer, { saturation: { adu: null, source: 'unknown' }, clippedShare: null })
})

void t.test('parameters: unknown, repeated, out of range, against the header', async (t) => {
  const cases: [string, number, string, RegExp][] = [
    ['?offsetAd=5', 400, '', /did you mean `offsetAdu`/],
    ['?offsetAdu=5&offsetAdu=6', 400, '/offsetAdu', /more than once/],
    ['?offsetAdu=five', 400, '/offsetAdu', /number/],
    ['?offsetAdu=0x10', 400, '/offsetAdu', /number/],
    ['?offsetAdu=', 400, '/offsetAdu', /number/],
    ['?electronsPerAdu=0', 400, '/electronsPerAdu', /0\.001/],
    ['?bayerPattern=RGB', 400, '/bayerPattern', /RGGB/],
    ['?subSeconds=60', 422, '/subSeconds', /60 s, but the header says 120 s/],
  ]
  for (const [query, status, pointer, message] of cases) {
    const { status: answered, problem } = await send(file, query)
    t.equal(answered, status, query)
    t.equal(problem.errors?.[0]?.pointer, pointer, query)
    t.match(problem.errors?.[0]?.message ?? '', message, query)
  }
  t.equal((await send(file, '?subSeconds=120.0&offsetAdu=5e2')).status, 200, 'what agrees is welcome')
})

const FUZZED = 500
const SEED = Number(process.env.FUZZ_SEED ?? 20_260_102)

void t.test(
  `${FUZZED} mutated headers over HTTP (seed ${SEED}): an answer that keeps its contract, or a 4xx`,
  async (t) => {
    const random = seededRandom(SEED)
    const statuses = new Map<number, number>()
    for (let count = 0; count < FUZZED; count++) {
      const body = fuzzedFile(random)
      const { status, problem } = await send(body, '?offsetAdu=10&electronsPerAdu=1.5')
      statuses.set(status, (statuses.get(status) ?? 0) + 1)
      if (status >= 500)
        t.fail(`frame ${count}: ${JSON.stringify(problem)} ${body.subarray(0, 800).toString('latin1')}`)
    }
    t.comment(Object.fromEntries(statuses))
    t.same(
      [...statuses.keys()].filter((status) => ![200, 400, 413, 422].includes(status)),
      [],
    )
    t.ok((statuses.get(200) ?? 0) > FUZZED / 50, 'some are answered')
  },
)

const flat = (level: (at: number) => number) => Float64Array.from({ length: SIDE_PX ** 2 }, (_, at) => level(at))
const said = ({ explanation, cautions }: FramesAnswer) => [...explanation, ...cautions].join(' ')

void t.test('a pattern that is not known here is named, and never denied', async (t) => {
  const { answer } = await send(unsignedFile(adu, AXES, [...EXPOSED, card('BAYERPAT', 'XTRANS')]), KNOWN)
  t.equal(answer.frame.color, 'mono')
  t.match(answer.assumptions[0], { pointer: '/bayerPattern', reason: /BAYERPAT “XTRANS” is no pattern/ })
  t.match(answer.cautions, [/BAYERPAT “XTRANS” is none of RGGB, BGGR, GRBG, GBRG: .*give `bayerPattern`/])
  const given = await send(
    unsignedFile(adu, AXES, [...EXPOSED, card('BAYERPAT', 'XTRANS')]),
    `${KNOWN}&bayerPattern=RGGB`,
  )
  t.notMatch(said(given.answer), /XTRANS/)
})

void t.test('an exposure that cannot be used is told, not guessed; the query mends it', async (t) => {
  const cases: [string[], RegExp][] = [
    [[card('EXPTIME', 120), card('EXPTIME', 60)], /EXPTIME 120 beside EXPTIME 60 is not usable as an exposure/],
    [[card('EXPTIME', 120), card('EXPOSURE', 60)], /EXPTIME 120 beside EXPOSURE 60 is not usable/],
    [[card('EXPTIME', 'long')], /EXPTIME “long” is not usable/],
    [[card('EXPTIME', 0)], /EXPTIME 0 is not usable/],
    [[card('EXPTIME', -5)], /EXPTIME -5 is not usable as an exposure: give `subSeconds`/],
  ]
  for (const [cards, caution] of cases) {
    const { answer } = await send(unsignedFile(adu, AXES, cards), KNOWN)
    t.match(answer.cautions, [caution])
    t.match(answer, { sky: null, frame: { subSeconds: null } })
    const mended = await send(unsignedFile(adu, AXES, cards), `${KNOWN}&subSeconds=60`)
    t.match(mended.answer, { cautions: [], frame: { subSeconds: 60 } })
  }
})

void t.test('a black end that is cut off is told; an ordinary one is not', async (t) => {
  const sunk = adu.map((value) => Math.max(0, value - OFFSET_ADU - SKY_ELECTRONS / GAIN))
  const cut = /(4\d|5\d) % of the pixels stand at 0 ADU, the lowest there is: .*offset is too low/
  t.match(said((await send(unsignedFile(sunk, AXES, EXPOSED))).answer), cut)
  t.match(said((await send(plainFile(sunk, -32, AXES, EXPOSED))).answer), cut, 'floating point')
  const shown = said((await send(unsignedFile(sunk, AXES, [...EXPOSED, card('BAYERPAT', 'RGGB')]))).answer)
  t.match(shown, /% of the (red|green|blue) pixels stand at 0 ADU/)
  const signed = plainFile(
    sunk.map((value) => value - 32_768),
    16,
    AXES,
    EXPOSED,
  )
  t.match(said((await send(signed)).answer), /pixels stand at -32768 ADU, the lowest there is/)
  t.notMatch(said((await send(file)).answer), /the lowest there is/)
  const one = adu.map((value, at) => (at < 100 ? 0 : value))
  t.notMatch(said((await send(unsignedFile(one, AXES, EXPOSED))).answer), /the lowest there is/, 'a few dead pixels')
})

void t.test('frames without a sky state none: constant, clipped, bias', async (t) => {
  const even = await send(unsignedFile(fillOf(1000), AXES, EXPOSED), KNOWN)
  t.match(even.answer.cautions, [/All pixels are alike/])
  t.notMatch(said(even.answer), /photon/)
  const white = await send(unsignedFile(fillOf(65_535), AXES, EXPOSED), KNOWN)
  t.match(white.answer.background, { electronsPerPixelSecond: null })
  t.equal(white.answer.planes[0]?.background.electronsPerPixelSecond, null)
  t.notMatch(said(white.answer), /photon|electrons per pixel/)
  const mostly = flat((at) => (at % 5 < 3 ? 65_535 : 60_000 + (at % 7)))
  const clipped = await send(unsignedFile(mostly, AXES, EXPOSED), KNOWN)
  t.match(clipped.answer, { sky: null, background: { electronsPerPixelSecond: null } })
  t.match(said(clipped.answer), /More than half of the pixels are clipped/)
  const random = seededRandom(31)
  const bias = flat((at) => Math.round(random.normal(500.03 + 1.4 * ((at % SIDE_PX) / SIDE_PX - 0.5), 4)))
  const { answer } = await send(unsignedFile(bias, AXES, [card('EXPTIME', 1)]), KNOWN)
  t.equal(answer.gradient?.cornerToCornerShare, null)
  t.match(said(answer), /rises by 1\.\d ADU\. That is no share of a background, which hardly rises/)
})

void t.test('numbers as people read them: in sentences, in refusals, in the query', async (t) => {
  const below = flat((at) => -807 - (at % 2) - (at % 5 === 0 ? 0.5 : 0))
  const { answer } = await send(plainFile(below, -32, AXES, EXPOSED))
  t.equal(Math.round(answer.background.adu), -808)
  t.match(answer.explanation[0], /The background is -808 ADU/)
  const tiny = await send(plainFile(below, -32, AXES, ['BSCALE  =                1E-40']))
  t.match(JSON.stringify(tiny.problem.errors), /1e-30 to 1e\+30/)
  t.match((await send(frameHeader([100_000, 100_000]))).problem.detail, /more than 128 MiB \(134217728 bytes\)/)
  const query = await send(file, '?offsetAdu=500&electronsPerAdu=.8')
  t.equal(query.answer.camera.electronsPerAdu, 0.8)
})

function fillOf(value: number): Float64Array {
  return new Float64Array(SIDE_PX ** 2).fill(value)
}
