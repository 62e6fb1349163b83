import { Readable } from 'node:stream'
import { setImmediate } from 'node:timers/promises'
import { gzipSync } from 'node:zlib'
import t from 'tap'

import { inflateGzip } from '../../src/fits/index.ts'
import { chunks } from '../frames/support/fits-file.ts'
import { dataFile, refusal } from './support/read.ts'

async function inflated(body: AsyncIterable<Uint8Array>, maximumBytes = 1 << 20): Promise<Buffer> {
  const parts: Uint8Array[] = []
  for await (const part of inflateGzip(body, { maximumBytes })) parts.push(part)
  return Buffer.concat(parts)
}

void t.test('a file packed by Python inflates to the file itself', async (t) => {
  const packed = dataFile('uint16.fits.gz')
  for (const size of [1, 100, 65_536]) t.strictSame(await inflated(chunks(packed, size)), dataFile('uint16.fits'))
})

void t.test('cut, broken and other bytes are refused', async (t) => {
  const packed = dataFile('uint16.fits.gz')
  t.equal(await refusal(inflated(chunks(packed.subarray(0, 1000)))), 'gzip-unreadable')
  t.equal(await refusal(inflated(chunks(Buffer.from('SIMPLE  =')))), 'gzip-unreadable')
  const broken = Buffer.from(packed)
  broken.fill(0, 500, 600)
  t.equal(await refusal(inflated(chunks(broken))), 'gzip-unreadable')
})

void t.test('encoded bytes are bounded: an endless row of empty members yields nothing to count', async (t) => {
  async function* endless(): AsyncGenerator<Uint8Array> {
    for (;;) {
      await Promise.resolve()
      yield gzipSync('')
    }
  }
  t.equal(await refusal(inflated(endless(), 100_000)), 'body-too-large')
})

void t.test('a reader that stops early leaves the body open', async (t) => {
  const body = new Readable({ read: () => undefined })
  body.push(dataFile('uint16.fits.gz'))
  for await (const part of inflateGzip(body, { maximumBytes: 1 << 20 })) {
    t.ok(part.length > 0)
    break
  }
  await setImmediate()
  t.notOk(body.destroyed)
})

void t.test('a failing body and a signal come through', async (t) => {
  const reason = new Error('connection lost')
  async function* failing(): AsyncGenerator<Uint8Array> {
    await Promise.resolve()
    yield dataFile('uint16.fits.gz').subarray(0, 100)
    throw reason
  }
  t.equal(await refusal(inflated(failing())), reason)
})
