// Who answers slabs: threads, or the event loop itself in turns of a few milliseconds.

import { setImmediate as nextTurn } from 'node:timers/promises'
import { Piscina } from 'piscina'
import { internalError } from '../problems.ts'
import type { SlabAnswerer } from './answer-slab.ts'
import { linesOf, refusalLine, type AnsweredSlab, type Fault, type Slab } from './slab.ts'
import { TextBlock } from './text-block.ts'

export interface Answerer {
  /** Slabs of one batch that are worth having under way at once. */
  readonly atOnce: number
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
    atOnce: 1,
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

/**
 * Threads that start when they are first needed. Until they run, the first slab of a batch is not theirs: a short batch is
 * answered sooner than a thread has started.
 *
 * @param script  a module whose default export answers a slab
 */
export function inThreads(script: URL, threads: number, first: Answerer): Answerer {
  const pool = new Piscina({
    filename: script.href,
    minThreads: 0,
    maxThreads: threads,
    idleTimeout: IDLE_MILLISECONDS,
    resourceLimits: { maxOldGenerationSizeMb: THREAD_MEGABYTES },
  })
  // A thread that dies is replaced, and the slab it was at is told by its rejection.
  pool.on('error', () => undefined)
  const isRunning = () => pool.completed > 0 && pool.threads.length > 0
  return {
    atOnce: threads + 1,
    answer: async (slab, block, stopped) => {
      if (slab.questionsBefore === 0 && !isRunning()) return first.answer(slab, block, stopped)
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
        return (await pool.run({ slab, block }, { transferList: [block], signal: ended.signal })) as AnsweredSlab
      } catch (error) {
        return ended.signal.aborted ? unread : failed(slab, error)
      } finally {
        stopped.removeEventListener('abort', end)
      }
    },
    close: () => pool.destroy(),
  }
}

/** A slab whose thread died: nobody knows which of its lines was to blame. */
function failed(slab: Slab, error: unknown): AnsweredSlab {
  const lines = [...linesOf(slab)].map(({ line }) => refusalLine(line, internalError()))
  return { bytes: Buffer.from(lines.join('')), faults: [{ path: 'unknown', reason: String(error) }] }
}
