// Whatever comes in, there is a result or a FitsError, soon, and the worker lives on. Every header goes through the reader,
// every sixth file through the whole analysis; `FUZZ_ANALYSED=1 FUZZ_SEED=…` analyses every one, with other files.

import t from 'tap'

import { FitsError } from '../../src/fits/index.ts'
import { FramePool, analyzeFrame } from '../../src/frames/index.ts'
import { read } from '../fits/support/read.ts'
import { seededRandom } from '../support/random.ts'
import { chunks, plainFile } from './support/fits-file.ts'
import { fuzzedFile, pick } from './support/fuzzed-file.ts'

const FRAMES = 20_000
const SEED = Number(process.env.FUZZ_SEED ?? 20_260_101)
const ANALYZED_EVERY = Number(process.env.FUZZ_ANALYSED ?? 6)

void t.test(`${FRAMES} mutated headers (seed ${SEED}): a result or a FitsError each`, async (t) => {
  const random = seededRandom(SEED)
  const pool = new FramePool({ threads: 1 })
  const outcomes = new Map<string, number>()
  for (let frame = 0; frame < FRAMES; frame++) {
    const file = fuzzedFile(random)
    const chunkBytes = pick(random, [1000, 65_536])
    const isAnalyzed = frame % ANALYZED_EVERY === 0
    const outcome = await (isAnalyzed ? analyzed(pool, file, chunkBytes) : headerRead(file, chunkBytes))
    outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1)
    if (outcome.startsWith('!')) t.fail(`frame ${frame}: ${outcome} ${file.subarray(0, 800).toString('latin1')}`)
  }
  t.comment(Object.fromEntries(outcomes))
  t.ok((outcomes.get('result') ?? 0) > FRAMES / ANALYZED_EVERY / 20, 'some are accepted')
  t.ok(outcomes.size > 12, 'many ways to be refused are met')
  t.equal(pool.frameCount, 0, 'every place is free again')
  const samples = Array.from({ length: 400 }, (_, index) => index)
  t.equal((await analyzeFrame(chunks(plainFile(samples, 16, [20, 20])), { pool })).planes[0]?.medianAdu, 199.5)
  await pool.close()
})

async function headerRead(file: Buffer, chunkBytes: number): Promise<string> {
  try {
    await read(file, { chunkBytes, maximumBytes: 1 << 20 })
    return 'read'
  } catch (error) {
    return refusalOf(error)
  }
}

async function analyzed(pool: FramePool, file: Buffer, chunkBytes: number): Promise<string> {
  try {
    const analysis = await analyzeFrame(chunks(file, chunkBytes), { pool, maxBytes: 1 << 20 })
    return allFinite(analysis) ? 'result' : `! a number that is not finite: ${JSON.stringify(analysis)}`
  } catch (error) {
    return refusalOf(error)
  }
}

function refusalOf(error: unknown): string {
  return error instanceof FitsError ? error.code : `! ${String(error)} ${error instanceof Error ? error.stack : ''}`
}

function allFinite(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value)
  return typeof value !== 'object' || value === null || Object.values(value).every(allFinite)
}
