import t from 'tap'

import {
  decodeInPlace,
  decodedSampleBytes,
  isMissing,
  largestSample,
  physicalAdu,
  placeBytes,
  sampleOf,
  viewSamples,
} from '../../src/fits/index.ts'
import { data } from '../frames/support/fits-file.ts'

const values = {
  8: [0, 1, 127, 128, 255],
  16: [-32768, -1, 0, 1, 32767],
  32: [-(2 ** 31), -1, 0, 1, 2 ** 31 - 1],
  '-32': [-1.5, 0, Math.fround(1e-40), 3.25, Math.fround(3e38)],
  '-64': [-1.5, 0, 5e-324, Math.PI, 1e300],
} as const

void t.test('FITS 4.0, 5.2 and 5.3: every sample type decodes, from chunks that cut samples in two', (t) => {
  for (const bits of [8, 16, 32, -32, -64] as const) {
    const expected = values[bits]
    const bytes = data(expected, bits).subarray(0, (expected.length * Math.abs(bits)) / 8)
    const target = new Uint8Array(expected.length * decodedSampleBytes(bits))
    for (let at = 0; at < bytes.length; at += 3) placeBytes(target, bits, at, bytes.subarray(at, at + 3))
    decodeInPlace(target.buffer, bits, 0, expected.length)
    t.strictSame([...viewSamples(target.buffer, bits, 0, expected.length)], [...expected], `BITPIX ${bits}`)
  }
  t.end()
})

void t.test('part of a buffer decodes alone', (t) => {
  const bytes = Uint8Array.of(0, 1, 0, 2, 0, 3, 0, 4)
  decodeInPlace(bytes.buffer, 16, 1, 2)
  t.strictSame([...bytes], [0, 1, 2, 0, 3, 0, 0, 4])
  t.strictSame([...viewSamples(bytes.buffer, 16, 1, 2)], [2, 3])
  t.end()
})

void t.test('physical values and back', (t) => {
  const scale = { zeroAdu: 32768, scaleAdu: 2 }
  t.equal(physicalAdu(scale, -16384), 0)
  t.equal(sampleOf(scale, physicalAdu(scale, 1234)), 1234)
  t.strictSame(([8, 16, 32, -32, -64] as const).map(largestSample), [255, 32767, 2 ** 31 - 1, null, null])
  t.end()
})

void t.test('what counts as missing', (t) => {
  const missing = [NaN, Infinity, -Infinity, 1e101, -1e101].map((sample) => isMissing(NaN, sample))
  t.strictSame(missing, [true, true, true, true, true])
  t.notOk(isMissing(NaN, 1e100))
  t.ok(isMissing(-32768, -32768))
  t.notOk(isMissing(-32768, -32767))
  t.end()
})
