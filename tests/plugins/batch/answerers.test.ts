import { setTimeout as sleep } from 'node:timers/promises'
import t from 'tap'
import { inThreads, type Answerer } from '../../../src/plugins/batch/answerers.ts'
import type { Slab } from '../../../src/plugins/batch/slab.ts'

const slab: Slab = { firstLine: 1, questionsBefore: 1, questions: 1, bytes: Buffer.from('{}\n') }
const nobody: Answerer = {
  atOnce: 1,
  answer: () => Promise.reject(new Error('not for the event loop')),
  close: () => Promise.resolve(),
}
const endless = () => inThreads(new URL('./endless-thread.js', import.meta.url), 1, nobody)

void t.test('a thread whose batch is stopped does not work on for ever', async (t) => {
  const answerer = endless()
  const stop = new AbortController()
  const answered = answerer.answer(slab, new ArrayBuffer(1000), stop.signal)
  await sleep(200)
  stop.abort()
  t.same(await answered, { bytes: new Uint8Array(), faults: [] })
  await answerer.close()
})

void t.test('nothing is begun for a batch that is stopped already', async (t) => {
  const answerer = endless()
  t.same(await answerer.answer(slab, new ArrayBuffer(1000), AbortSignal.abort()), {
    bytes: new Uint8Array(),
    faults: [],
  })
  await answerer.close()
})
