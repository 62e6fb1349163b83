import { setTimeout as sleep } from 'node:timers/promises'
import t from 'tap'
import { inThreads, type Answerer } from '../../../src/plugins/batch/answerers.ts'
import type { Slab } from '../../../src/plugins/batch/slab.ts'

const slabOf = (text: string): Slab => ({
  firstLine: 1,
  questionsBefore: 1,
  questions: 1,
  bytes: Buffer.from(text),
})

/** A busy event loop: a slab takes it so long that one more is worth threads. */
const loop: Answerer = {
  threads: 0,
  answer: async ({ bytes }) => {
    if (Buffer.from(bytes).toString() !== 'light') await sleep(1100)
    return { bytes: Buffer.from('l'), faults: [] }
  },
  close: () => Promise.resolve(),
}

const never = new AbortController().signal
const answeredBy = async (answerer: Answerer, text: string, stopped = never) =>
  Buffer.from((await answerer.answer(slabOf(text), new ArrayBuffer(1000), stopped)).bytes).toString()

async function untilReady(answerer: Answerer): Promise<void> {
  for (let tries = 0; answerer.threads === 0; tries++) {
    if (tries === 1000) throw new Error('no thread')
    await sleep(20)
  }
}

const start = () => inThreads(new URL('./told-thread.js', import.meta.url), 2, {}, loop)

void t.test('threads answer once there is enough to do, and have practised by then', async (t) => {
  const answerer = start()
  t.equal(await answeredBy(answerer, 'light'), 'l')
  await sleep(700)
  t.equal(answerer.threads, 0, 'a light batch starts none')
  t.equal(await answeredBy(answerer, 'heavy'), 'l')
  t.equal(await answeredBy(answerer, 'light'), 'l', 'while they practise the event loop goes on')
  await untilReady(answerer)
  t.equal(answerer.threads, 2)
  t.equal(await answeredBy(answerer, 'light'), 't')

  const stop = new AbortController()
  const stopped = answeredBy(answerer, 'go on for ever', stop.signal)
  await sleep(200)
  stop.abort()
  t.equal(await stopped, '', 'a thread whose batch is stopped does not work on for ever')
  t.equal(await answeredBy(answerer, 'light'), 't', 'and the others go on')
  t.equal(
    await answeredBy(answerer, 'go on for ever', AbortSignal.abort()),
    '',
    'nothing is begun for a batch that ended',
  )

  const died = await answerer.answer(slabOf('die'), new ArrayBuffer(1000), never)
  t.match(Buffer.from(died.bytes).toString(), /^\{"line":1,"status":500/)
  t.equal(died.faults.length, 1, 'a thread that dies is told')
  await answerer.close()
})

void t.test('a slab that no thread survives leaves the event loop at work', async (t) => {
  const answerer = start()
  t.equal(await answeredBy(answerer, 'die'), 'l')
  t.equal(answerer.threads, 0)
  // They may take longer to start, and to die, than the event loop does for the next one.
  for (let tries = 0; answerer.threads === 0 && tries < 20; tries++) {
    t.equal(await answeredBy(answerer, 'heavy'), 'l')
    await sleep(1000)
  }
  t.equal(await answeredBy(answerer, 'light'), 't', 'and the next one that is worth it starts them')
  await answerer.close()
})
