// `/v1/frames` over HTTP: values against simulated frames of known truth.

import { gzipSync } from 'node:zlib'
import t from 'tap'
import { frames } from '../../src/routes/frames/index.ts'
import { dataFile } from '../fits/support/read.ts'
import { card, unsignedFile } from '../frames/support/fits-file.ts'
import { simulate } from '../frames/support/simulate.ts'
import { near, within } from '../support/near.ts'
import {
  app,
  send,
  adu,
  SIDE_PX,
  AXES,
  SUB_SECONDS,
  GAIN,
  OFFSET_ADU,
  SKY_ELECTRONS,
  READ_NOISE_ELECTRONS,
  stars,
  EXPOSED,
  file,
  GZIP,
  KNOWN,
} from '../support/frames.ts'

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
