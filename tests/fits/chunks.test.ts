import { Readable } from 'node:stream'
import t from 'tap'
import { chunksOf } from '../../src/fits/chunks.ts'

void t.test('a body that fails after its reader was called off fails nobody else', async (t) => {
  const failures: unknown[] = []
  const hear = (reason: unknown) => failures.push(reason)
  process.on('unhandledRejection', hear)
  const stop = new AbortController()
  const body = new Readable({ read: () => undefined })
  body.push(Buffer.from('first'))
  const reading = async () => {
    for await (const chunk of chunksOf(body, stop.signal)) {
      t.equal(chunk.length, 5)
      stop.abort(new Error('called off'))
    }
  }
  await t.rejects(reading(), { message: 'called off' })
  body.on('error', () => undefined).destroy(new Error('broken off'))
  await new Promise((resolve) => setTimeout(resolve, 50))
  process.removeListener('unhandledRejection', hear)
  t.same(failures, [])
})
