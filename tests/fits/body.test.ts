import { Readable } from 'node:stream'
import t from 'tap'

import { FITS_ERRORS, FitsError, readFitsBody } from '../../src/fits/index.ts'
import { card, chunks, data, header, imageCards, plainFile } from '../frames/support/fits-file.ts'
import { dataFile, read, refusal } from './support/read.ts'

const samples = Array.from({ length: 12 }, (_, index) => index)
const good = plainFile(samples, 16, [4, 3])
const goodData = data(samples, 16).subarray(0, 24)

void t.test('header and data are told apart, in chunks of any length', async (t) => {
  for (const chunkBytes of [1, 7, 80, 2879, 2880, 2881, 65_536]) {
    const result = await read(good, { chunkBytes })
    t.equal(result.bytesRead, good.length)
    t.strictSame(result.data, goodData, `chunks of ${chunkBytes}`)
  }
})

void t.test('a header of several blocks', async (t) => {
  const others = Array.from({ length: 100 }, (_, index) => card(`KEY${index}`, index))
  const result = await read(plainFile(samples, 16, [4, 3], others), { chunkBytes: 1000 })
  t.strictSame(result.data, goodData)
})

void t.test('padding may be missing, and an extension or fill may follow', async (t) => {
  const bare = good.subarray(0, 2880 + 24)
  t.strictSame((await read(bare)).data, goodData)
  t.strictSame((await read(good.subarray(0, 2880 + 100))).data, goodData)
  t.strictSame((await read(Buffer.concat([good, header([card('XTENSION', 'IMAGE')])]))).data, goodData)
  t.strictSame((await read(Buffer.concat([good, Buffer.alloc(5000)]))).data, goodData)
  t.strictSame((await read(Buffer.concat([good, Buffer.alloc(2880, ' ')]))).data, goodData)
})

void t.test('more data than declared is refused', async (t) => {
  t.equal(await refusal(read(Buffer.concat([good, Buffer.alloc(2880, 7)]))), 'data-trailing')
  const full = plainFile(new Array<number>(1440).fill(5), 16, [1440, 1])
  t.equal(await refusal(read(Buffer.concat([full, Buffer.from([1])]))), 'data-trailing')
})

void t.test('fewer data than declared: both figures are told', async (t) => {
  await t.rejects(read(good.subarray(0, 2880 + 23)), {
    code: 'data-truncated',
    kind: 'unreadable',
    details: { facts: { declaredBytes: 24, receivedBytes: 23 } },
  })
  t.equal(await refusal(read(good.subarray(0, 2880))), 'data-truncated')
})

void t.test('not FITS, no bytes, cut headers and endless ones', async (t) => {
  const codes = async (bytes: Uint8Array, chunkBytes = 65_536): Promise<unknown> => refusal(read(bytes, { chunkBytes }))
  t.equal(await codes(Buffer.from('<html>')), 'not-fits')
  t.equal(await codes(Buffer.from('<html>'), 1), 'not-fits')
  t.equal(await codes(Buffer.alloc(0)), 'not-fits')
  t.equal(await codes(Buffer.from('SIMPLE')), 'not-fits', 'too short to tell')
  t.equal(await codes(good.subarray(0, 500)), 'header-truncated')
  t.equal(await codes(good.subarray(0, 2000)), 'header-truncated', 'END is there, its block is not complete')
  const endless = Buffer.concat([header(imageCards({ bitsPerSample: 16, axes: [4, 3] })).subarray(0, 400)])
  t.equal(await codes(Buffer.concat([endless, Buffer.alloc(64 * 2880, ' ')])), 'header-too-long')
  t.equal(await codes(Buffer.concat([endless, Buffer.alloc(64 * 2880, ' ')]), 999), 'header-too-long')
})

void t.test('the limit holds for what comes and for what is declared, before any of it is taken', async (t) => {
  await t.rejects(read(good, { maximumBytes: good.length - 1 }), { code: 'body-too-large', kind: 'too-large' })
  t.equal((await read(good, { maximumBytes: good.length })).bytesRead, good.length)
  const huge = header(imageCards({ bitsPerSample: -64, axes: [2_000_000_000, 2_000_000_000] }))
  let isOpened = false
  const open = () => ({ write: () => undefined, opened: (isOpened = true) })
  t.equal(await refusal(readFitsBody(chunks(huge), { maximumBytes: 1 << 27 }, open)), 'body-too-large')
  t.notOk(isOpened)
  const beyondIntegers = header(imageCards({ bitsPerSample: 16, axes: [9e15, 9e15, 3] }))
  t.equal(await refusal(read(beyondIntegers)), 'body-too-large')
})

void t.test('an endless body stops at the limit', async (t) => {
  let sent = 0
  async function* endless(): AsyncGenerator<Uint8Array> {
    yield good
    for (;;) {
      await Promise.resolve()
      sent += 65_536
      yield Buffer.alloc(65_536)
    }
  }
  const sink = { write: () => undefined }
  t.equal(await refusal(readFitsBody(endless(), { maximumBytes: 1 << 20 }, () => sink)), 'body-too-large')
  t.ok(sent <= 1 << 20)
})

void t.test(
  'what sits elsewhere than in the primary part is refused by name (files made by astropy 5.2.1)',
  async (t) => {
    const expected = {
      'image-in-extension.fits': 'image-in-extension',
      'table-only.fits': 'no-image',
      'tile-compressed.fits': 'tile-compressed',
      'random-groups.fits': 'random-groups',
      'four-planes.fits': 'axes-unsupported',
    }
    for (const [name, code] of Object.entries(expected)) {
      for (const chunkBytes of [100, 65_536]) t.equal(await refusal(read(dataFile(name), { chunkBytes })), code, name)
    }
    const empty = header(imageCards({ bitsPerSample: 16, axes: [] }))
    t.equal(await refusal(read(empty)), 'no-image', 'nothing follows')
    t.equal(await refusal(read(Buffer.concat([empty, Buffer.alloc(70 * 2880, 'x')]))), 'header-too-long')
  },
)

void t.test(
  'a stream that is refused half-way is left open, for the answer to go out on the same connection',
  async (t) => {
    const body = Readable.from([Buffer.alloc(10, 'x'), Buffer.alloc(10)])
    t.equal(await refusal(readFitsBody(body, { maximumBytes: 100 }, () => ({ write: () => undefined }))), 'not-fits')
    t.notOk(body.destroyed)
  },
)

void t.test('a signal ends the reading, of a stalled body too', async (t) => {
  const reason = new Error('gone')
  const sink = () => ({ write: () => undefined })
  async function* stalled(): AsyncGenerator<Uint8Array> {
    yield good.subarray(0, 100)
    await new Promise(() => undefined)
  }
  const controller = new AbortController()
  const pending = readFitsBody(stalled(), { maximumBytes: 1 << 20, signal: controller.signal }, sink)
  setImmediate(() => {
    controller.abort(reason)
  })
  t.equal(await refusal(pending), reason)
  const already = readFitsBody(chunks(good), { maximumBytes: 1 << 20, signal: AbortSignal.abort(reason) }, sink)
  t.equal(await refusal(already), reason)
})

void t.test('an error of the body itself comes through', async (t) => {
  const reason = new Error('connection lost')
  async function* failing(): AsyncGenerator<Uint8Array> {
    await Promise.resolve()
    yield good.subarray(0, 100)
    throw reason
  }
  const sink = () => ({ write: () => undefined })
  t.equal(await refusal(readFitsBody(failing(), { maximumBytes: 1 << 20 }, sink)), reason)
})

void t.test('the event loop gets its turn within one great chunk', async (t) => {
  const side = 2048
  const file = plainFile(new Int16Array(side * side), 16, [side, side])
  let turns = 0
  const count = setImmediate(function again() {
    turns++
    setImmediate(again).unref()
  })
  await read(file, { chunkBytes: file.length })
  clearImmediate(count)
  t.ok(turns >= 7, `8 MiB, ${turns} turns`)
})

void t.test('every code is of a kind, and the error carries both', (t) => {
  for (const [code, { kind, meaning }] of Object.entries(FITS_ERRORS)) {
    const error = new FitsError(code as keyof typeof FITS_ERRORS, meaning)
    t.match(error, { name: 'FitsError', code, kind, message: meaning, details: {} })
  }
  t.end()
})
