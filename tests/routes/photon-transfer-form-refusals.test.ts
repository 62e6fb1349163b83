// Photon transfer from the frames themselves: forms that get no answer, and how they are told.

import t from 'tap'
import { dataFile } from '../fits/support/read.ts'
import { card, plainFile, unsignedFile } from '../frames/support/fits-file.ts'
import { pick } from '../frames/support/fuzzed-file.ts'
import { FORM_TYPE, formOf, type Part } from '../support/multipart.ts'
import { seededRandom } from '../support/random.ts'
import { exchange, listen, parseResponse } from '../support/socket.ts'
import { app, bias, frame, LADDER, pairOf, send, sensor, SIDE_PX } from './photon-transfer-forms.ts'

t.teardown(() => app.close())

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
