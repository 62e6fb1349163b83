// `/v1/frames` over HTTP: bodies that are no frame at all, or none of the sky.

import { gzipSync } from 'node:zlib'
import t from 'tap'
import { PROBLEMS, type ProblemKind } from '../../src/contract/problem.ts'
import { dataFile } from '../fits/support/read.ts'
import { plainFile, unsignedFile } from '../frames/support/fits-file.ts'
import { fuzzedFile } from '../frames/support/fuzzed-file.ts'
import { seededRandom } from '../support/random.ts'
import { send, adu, SIDE_PX, AXES, file, GZIP, frameHeader } from '../support/frames.ts'

const constant = (value: number, bits: 16 | -32 = 16) =>
  plainFile(new Float64Array(SIDE_PX ** 2).fill(value), bits, AXES)
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
