// Who answers slabs: threads, or the event loop itself in turns of a few milliseconds.

import { setImmediate as nextTurn } from 'node:timers/promises'
import { Piscina } from 'piscina'
import type { ContractCheck } from '../contract-check.ts'
import { internalError } from '../problems.ts'
import type { SlabAnswerer } from './answer-slab.ts'
import { linesOf, refusalLine, type AnsweredSlab, type Fault, type Slab } from './slab.ts'
import { TextBlock } from './text-block.ts'

export interface Answerer {
  /** Threads that answer, now; without any the event loop does. */
  readonly threads: number
  /** Answers a slab, in the given block if it has room there, or leaves it when the batch is stopped. */
  answer: (slab: Slab, block: ArrayBuffer, stopped: AbortSignal) => Promise<AnsweredSlab>
  close: () => Promise<void>
}

const TURN_MILLISECONDS = 4
/** Threads without work end after this time, and with them their hold on memory. */
const IDLE_MILLISECONDS = 600_000
const THREAD_MEGABYTES = 256
/** How long a thread may finish what nobody reads any more: most slabs take less than it costs to start another thread. */
const GRACE_MILLISECONDS = 1_000

export function inTurns(answerer: SlabAnswerer): Answerer {
  return {
    threads: 0,
    answer: async (slab, block, stopped) => {
      const faults: Fault[] = []
      const text = new TextBlock(block)
      let turnEnd = performance.now() + TURN_MILLISECONDS
      for (const line of answerer(slab, faults)) {
        text.add(line)
        if (performance.now() < turnEnd) continue
        await nextTurn()
        if (stopped.aborted) break
        turnEnd = performance.now() + TURN_MILLISECONDS
      }
      return { bytes: text.bytes, faults }
    },
    close: () => Promise.resolve(),
  }
}

/** So much work of the event loop is worth the start of threads: by then they would only just have begun. */
const LOOP_MILLISECONDS = 1_000
/** What a thread does first is slower by far; so long it practises on a slab that is answered elsewhere. */
const PRACTICE_MILLISECONDS = 500
const PRACTICE_BLOCK_BYTES = 65_536

/**
 * Threads, once batches are long enough to be worth their start. Until they have started and practised, which takes longer
 * than a batch of light questions, the event loop answers.
 *
 * @param script  a module whose default export answers a slab
 * @param schemas  of the contract, made once for all threads
 */
export function inThreads(script: URL, threads: number, schemas: ContractCheck['schemas'], loop: Answerer): Answerer {
  const pool = new Piscina({
    filename: script.href,
    workerData: schemas,
    minThreads: 0,
    maxThreads: threads,
    idleTimeout: IDLE_MILLISECONDS,
    resourceLimits: { maxOldGenerationSizeMb: THREAD_MEGABYTES },
  })
  // A thread that dies is replaced, and the slab it was at is told by its rejection.
  pool.on('error', () => undefined)
  const run = (slab: Slab, block: ArrayBuffer, signal: AbortSignal | null = null) =>
    pool.run({ slab, block }, { transferList: [block], signal }) as Promise<AnsweredSlab>

  let loopMilliseconds = 0
  let practice: 'none' | 'under way' | 'done' = 'none'

  /** None once they have ended, for want of work or by a fault: the event loop answers until others have practised. */
  const threadsReady = () => (practice === 'done' ? pool.threads.length : 0)

  const practise = async (slab: Slab): Promise<void> => {
    const rounds = async (): Promise<void> => {
      await run(slab, new ArrayBuffer(PRACTICE_BLOCK_BYTES))
      const end = performance.now() + PRACTICE_MILLISECONDS
      while (performance.now() < end) await run(slab, new ArrayBuffer(PRACTICE_BLOCK_BYTES))
    }
    practice = 'under way'
    const ended = await Promise.allSettled(Array.from({ length: threads }, rounds))
    practice = ended.every(({ status }) => status === 'fulfilled') ? 'done' : 'none'
    loopMilliseconds = 0
  }

  const answerOnLoop = async (slab: Slab, block: ArrayBuffer, stopped: AbortSignal): Promise<AnsweredSlab> => {
    const begun = performance.now()
    const answered = await loop.answer(slab, block, stopped)
    loopMilliseconds += performance.now() - begun
    if (practice !== 'under way' && loopMilliseconds >= LOOP_MILLISECONDS) {
      void practise({ ...slab, bytes: slab.bytes.slice() })
    }
    return answered
  }

  const answerInThread = async (slab: Slab, block: ArrayBuffer, stopped: AbortSignal): Promise<AnsweredSlab> => {
    const unread = { bytes: new Uint8Array(), faults: [] }
    if (stopped.aborted) return unread
    const ended = new AbortController()
    const end = (): void => {
      setTimeout(() => {
        ended.abort()
      }, GRACE_MILLISECONDS).unref()
    }
    stopped.addEventListener('abort', end)
    try {
      return await run(slab, block, ended.signal)
    } catch (error) {
      return ended.signal.aborted ? unread : failed(slab, error)
    } finally {
      stopped.removeEventListener('abort', end)
    }
  }

  return {
    get threads() {
      return threadsReady()
    },
    answer: (slab, block, stopped) => (threadsReady() > 0 ? answerInThread : answerOnLoop)(slab, block, stopped),
    close: () => pool.destroy(),
  }
}

/** A slab whose thread died: nobody knows which of its lines was to blame. */
function failed(slab: Slab, error: unknown): AnsweredSlab {
  const lines = [...linesOf(slab)].map(({ line }) => refusalLine(line, internalError()))
  return { bytes: Buffer.from(lines.join('')), faults: [{ path: 'unknown', reason: String(error) }] }
}
