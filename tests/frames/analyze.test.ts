// Bodies that hold no ordinary frame: each gets a stated result or a refusal, and every place in the pool comes free.

import { gzipSync } from 'node:zlib'
import t from 'tap'
import type { Test } from 'tap'

import { BufferStore } from '../../src/frames/buffer-store.ts'
import { FramePool, FramePoolFull, analyzeFrame, frameStatistics } from '../../src/frames/index.ts'
import type { FrameAnalysis, FrameOptions } from '../../src/frames/index.ts'
import { refusal } from '../fits/support/read.ts'
import { card, chunks, header, imageCards, plainFile, unsignedFile } from './support/fits-file.ts'

const pool = new FramePool({ threads: 1 })
t.teardown(() => pool.close())
const SIDE_PX = 256
const AXES = [SIDE_PX, SIDE_PX]
const fill = (value: number, count = SIDE_PX ** 2): Float64Array => new Float64Array(count).fill(value)

async function analyzed(file: Buffer, options: Partial<FrameOptions> = {}): Promise<FrameAnalysis> {
  return analyzeFrame(chunks(file), { pool, ...options })
}

void t.test('a constant frame is a result that says so', async (t) => {
  const analysis = await analyzed(unsignedFile(fill(1000), AXES))
  t.strictSame(analysis.conditions, ['constant'])
  t.match(analysis.planes, [
    { channel: 'mono', medianAdu: 1000, madAdu: 0, backgroundAdu: 1000, noiseAdu: 0, clippedShare: 0, missingShare: 0 },
  ])
  t.match(analysis.gradient, { aduAcrossWidth: 0, aduAcrossHeight: 0, cornerToCornerAdu: 0 })
  t.match(analysis.stars, { count: 0, fwhmPx: null, apertureRadiusPx: null })
})

void t.test('a frame at its largest code is constant and all clipped; one at a given level too', async (t) => {
  t.strictSame((await analyzed(unsignedFile(fill(65_535), AXES))).conditions, ['constant', 'all-clipped'])
  const noisy = fill(0).map((_, at) => 4000 + (at % 7))
  t.strictSame((await analyzed(unsignedFile(noisy, AXES), { saturationAdu: 4000 })).conditions, ['all-clipped'])
  t.strictSame((await analyzed(unsignedFile(noisy, AXES), { saturationAdu: 4001 })).conditions, [])
})

void t.test('a level of zero has no share to give the gradient as', async (t) => {
  t.equal((await analyzed(plainFile(fill(0), 16, AXES))).gradient?.cornerToCornerAdu, 0)
})

void t.test('not one valid pixel: NaN, infinite or blank throughout, in one channel even', async (t) => {
  t.equal(await refusal(analyzed(plainFile(fill(NaN), -32, AXES))), 'no-valid-pixels')
  t.equal(await refusal(analyzed(plainFile(fill(Infinity), -64, AXES))), 'no-valid-pixels')
  t.equal(await refusal(analyzed(plainFile(fill(7), 16, AXES, [card('BLANK', 7)]))), 'no-valid-pixels')
  t.equal(await refusal(frameStatistics(chunks(plainFile(fill(NaN), -32, AXES)), { pool })), 'no-valid-pixels')
  t.equal(
    await refusal(frameStatistics(chunks(plainFile(fill(7), 8, AXES, [card('BLANK', 7)])), { pool })),
    'no-valid-pixels',
  )
  const bluesMissing = fill(1).map((_, at) => (at % 2 === 1 && Math.floor(at / SIDE_PX) % 2 === 1 ? NaN : 5))
  await t.rejects(analyzed(plainFile(bluesMissing, -32, AXES), { bayerPattern: 'RGGB' }), {
    code: 'no-valid-pixels',
    details: { given: 'blue' },
  })
})

void t.test('tiny and thin frames: median and median deviation stand in for the background', async (t) => {
  for (const axes of [
    [1, 1],
    [2, 2],
    [5, 3],
    [1, 400],
    [400, 1],
  ] as const) {
    const values = Array.from({ length: axes[0] * axes[1] }, (_, at) => 100 + (at % 3))
    const analysis = await analyzed(unsignedFile(values, axes))
    const [plane] = analysis.planes
    t.ok(analysis.conditions.includes('too-small'), axes.join(' x '))
    t.equal(plane?.backgroundAdu, plane?.medianAdu)
    t.equal(plane?.noiseAdu, 1.482602218505602 * (plane?.madAdu ?? NaN))
    t.equal(analysis.gradient, null)
  }
  t.equal(await refusal(analyzed(unsignedFile([1, 2], [2, 1]), { bayerPattern: 'RGGB' })), 'no-valid-pixels')
})

void t.test('a frame of stars wherever one looks, and one of plateaus, end in bounded time', async (t) => {
  const checkered = fill(0).map((_, at) => (((at >> 2) + (Math.floor(at / SIDE_PX) >> 2)) % 2 === 0 ? 100 : 60_000))
  t.ok((await analyzed(unsignedFile(checkered, AXES))).planes[0])
  const half = fill(0).map((_, at) => (at % SIDE_PX < SIDE_PX / 3 ? 65_535 : 100 + (at % 5)))
  t.equal((await analyzed(unsignedFile(half, AXES))).saturation.source, 'largest-code')
  const infinite = fill(0).map((_, at) => (at % SIDE_PX < SIDE_PX / 3 ? Infinity : 100 + (at % 5)))
  sameNumber(t, (await analyzed(plainFile(infinite, -32, AXES))).planes[0]?.missingShare ?? NaN, 86 / 256)
})

function sameNumber(t: Test, actual: number, expected: number): void {
  t.ok(Math.abs(actual - expected) < 1e-12, `${actual} is ${expected}`)
}

void t.test('a body cut within a strip, a lying header, a great declaration', async (t) => {
  const file = unsignedFile(fill(1000), AXES)
  t.equal(await refusal(analyzed(file.subarray(0, file.length / 2))), 'data-truncated')
  const lying = Buffer.concat([header(imageCards({ bitsPerSample: 16, axes: [SIDE_PX, 10] })), file.subarray(2880)])
  t.equal(await refusal(analyzed(lying)), 'data-trailing')
  const great = header(imageCards({ bitsPerSample: 16, axes: [100_000, 100_000] }))
  t.equal(await refusal(analyzed(great)), 'body-too-large')
  const declared = header(imageCards({ bitsPerSample: 16, axes: [8000, 8000] }))
  t.equal(await refusal(analyzed(declared)), 'data-truncated', '128 MB are declared and none come')
})

void t.test('gzip: the frame itself, a bomb, and other bytes', async (t) => {
  const file = unsignedFile(
    fill(0).map((_, at) => at % 777),
    AXES,
  )
  const plain = await analyzed(file)
  t.strictSame(await analyzed(gzipSync(file), { encoding: 'gzip' }), plain)
  const bomb = gzipSync(Buffer.concat([header(imageCards({ bitsPerSample: 16, axes: AXES })), Buffer.alloc(1 << 24)]))
  t.equal(await refusal(analyzed(bomb, { encoding: 'gzip', maxBytes: 1 << 20 })), 'body-too-large')
  t.equal(await refusal(analyzed(file, { encoding: 'gzip' })), 'gzip-unreadable')
  t.equal(await refusal(analyzed(gzipSync(file))), 'not-fits')
})

void t.test("the caller's Bayer pattern goes before the header's; planes have none", async (t) => {
  const file = unsignedFile(fill(9), AXES, [card('BAYERPAT', 'RGGB')])
  t.match(await analyzed(file), { color: 'bayer', bayerPattern: 'RGGB' })
  t.match(await analyzed(file, { bayerPattern: 'GBRG' }), { color: 'bayer', bayerPattern: 'GBRG' })
  const planes = unsignedFile(fill(9, 3 * SIDE_PX ** 2), [...AXES, 3], [card('BAYERPAT', 'RGGB')])
  t.match(await analyzed(planes), { color: 'planes', bayerPattern: null })
  t.equal(await refusal(analyzed(planes, { bayerPattern: 'GBRG' })), 'bayer-pattern-on-planes')
})

void t.test('an abort, of the caller or of the body, leaves nothing behind', async (t) => {
  const reason = new Error('gone')
  const file = unsignedFile(fill(1000), AXES)
  const controller = new AbortController()
  async function* stalled(): AsyncGenerator<Uint8Array> {
    yield file.subarray(0, file.length - 3000)
    controller.abort(reason)
    await new Promise(() => undefined)
  }
  t.equal(await refusal(analyzeFrame(stalled(), { pool, signal: controller.signal })), reason)
  async function* failing(): AsyncGenerator<Uint8Array> {
    await Promise.resolve()
    yield file.subarray(0, file.length - 3000)
    throw reason
  }
  t.equal(await refusal(analyzeFrame(failing(), { pool })), reason)
  t.equal(await refusal(frameStatistics(failing(), { pool })), reason)
})

void t.test('a full pool refuses before it reads, and takes frames again when a place is free', async (t) => {
  const small = new FramePool({ threads: 1, waitingFrames: 1 })
  const file = unsignedFile(fill(1000), AXES)
  let goOn: () => void = () => undefined
  const gate = new Promise<void>((resolve) => (goOn = resolve))
  async function* slow(): AsyncGenerator<Uint8Array> {
    yield file.subarray(0, 5000)
    await gate
    yield file.subarray(5000)
  }
  let wasRead = false
  async function* watched(): AsyncGenerator<Uint8Array> {
    await Promise.resolve()
    wasRead = true
    yield file
  }
  const pending = [analyzeFrame(slow(), { pool: small }), analyzeFrame(slow(), { pool: small })]
  t.equal(small.capacity, 2)
  while (small.frameCount < 2) await new Promise(setImmediate)
  const full = await refusal(analyzeFrame(watched(), { pool: small }))
  t.type(full, FramePoolFull)
  t.match(full, { name: 'FramePoolFull', message: /2 at once are the most/ })
  t.notOk(wasRead)
  t.type(await refusal(frameStatistics(chunks(plainFile(fill(1), -32, AXES)), { pool: small })), FramePoolFull)
  t.match(
    await frameStatistics(chunks(file), { pool: small }),
    { planes: [{ medianAdu: 1000 }] },
    'counting needs no place',
  )
  goOn()
  t.equal((await Promise.all(pending)).length, 2)
  t.equal(small.frameCount, 0)
  t.ok(await analyzeFrame(watched(), { pool: small }))
  await small.close()
})

void t.test('a slot is released once', (t) => {
  const slot = pool.reserve()
  t.equal(pool.frameCount, 0, 'nothing is there yet')
  slot.memory(8)
  slot.memory(8)
  t.equal(pool.frameCount, 1)
  const other = pool.reserve()
  other.memory(8)
  slot.release()
  slot.release()
  t.equal(pool.frameCount, 1)
  other.release()
  t.equal(pool.frameCount, 0)
  t.end()
})

void t.test('memory is reused where it is large enough, and never more is kept than frames can be in', (t) => {
  const store = new BufferStore(2, 1 << 30)
  const taken = (bytes: number) => store.take(bytes) ?? new SharedArrayBuffer(0)
  const large = taken(3 << 20)
  const small = taken(100)
  t.equal(small.byteLength, 1 << 20, 'rounded up')
  store.give(large)
  store.give(small)
  t.equal(store.take(200), small, 'the smallest that fits')
  t.equal(store.take(200), large)
  store.give(small)
  const larger = taken(5 << 20)
  t.equal(larger.byteLength, 5 << 20)
  t.not(store.take(200), small, 'the small one made room')
  for (const buffer of [large, small, larger]) store.give(buffer)
  t.equal(store.take(1 << 20), large, 'the smallest of three was let go')
  store.clear()
  t.not(store.take(1 << 20), larger)
  store.clear()
  t.end()
})

void t.test('all memory together stays below its bound: what is kept gives way, what is taken does not', (t) => {
  const store = new BufferStore(4, 6 << 20)
  const [two, three] = [store.take(2 << 20), store.take(3 << 20)]
  t.equal(store.take(2 << 20), undefined, 'six are not to be passed')
  if (two) store.give(two)
  t.equal(store.take(3 << 20)?.byteLength, 3 << 20, 'the two that were kept are let go')
  if (three) store.give(three)
  t.equal(store.take(3 << 20), three)
  t.equal(store.take(1), undefined)
  t.end()
})

void t.test('a frame that finds no memory is told so, and its place is free again', async (t) => {
  const small = new FramePool({ threads: 1, waitingFrames: 1, maximumBytes: 1 << 20 })
  const file = unsignedFile(fill(1000), AXES)
  const slot = small.reserve()
  slot.memory(100)
  t.match(await refusal(analyzeFrame(chunks(file), { pool: small })), { name: 'FramePoolFull', message: /this size/ })
  t.equal(small.frameCount, 1)
  slot.release()
  t.ok(await analyzeFrame(chunks(file), { pool: small }))
  await small.close()
})

void t.test('after all that every place is free', (t) => {
  t.equal(pool.frameCount, 0)
  t.end()
})
