// The course of a batch: slabs are cut as lines arrive, answered several at once, and handed on in order, no faster than
// they are read.

import type { Problem } from '../../contract/problem.ts'
import type { AnswerBlocks } from './answer-blocks.ts'
import type { Answerer } from './answerers.ts'
import type { BatchInput } from './batch-input.ts'
import type { Cut } from './line-buffer.ts'
import { linesOf, refusalLine, type Fault, type Slab } from './slab.ts'

export interface BatchTerms {
  answerer: Answerer
  blocks: AnswerBlocks
  /** Counts questions against the client; the refusal when it has nothing left. */
  charge: (questions: number) => Problem | undefined
  report: (fault: Fault) => void
  stopped: AbortSignal
}

interface UnderWay {
  bytes: Promise<Uint8Array<ArrayBuffer>>
  isReady: boolean
}

export async function* answerBatch(input: BatchInput, terms: BatchTerms): AsyncGenerator<Uint8Array> {
  const underWay: UnderWay[] = []
  /** One for each thread, and one more for whichever is through first. */
  const isRoom = () => underWay.length <= terms.answerer.threads
  let isOpen = true

  const begin = (cut: Cut): void => {
    const refusal = cut.kind === 'slab' ? terms.charge(cut.slab.questions) : cut.problem
    if (cut.kind === 'refusal' ? cut.isLast : refusal !== undefined) isOpen = false
    if (cut.kind === 'slab' && refusal === undefined) underWay.push(watched(answered(cut.slab, terms)))
    else if (refusal !== undefined) underWay.push(watched(Promise.resolve(refused(cut, refusal))))
  }

  while ((isOpen || underWay.length > 0) && !terms.stopped.aborted) {
    while (isOpen && isRoom()) {
      const { isEnded } = input
      const cut = input.cut()
      if (cut !== undefined) begin(cut)
      else if (isEnded) isOpen = false
      else break
    }
    const [first] = underWay
    const mayTakeMore = isOpen && isRoom()
    if (first !== undefined && (first.isReady || !mayTakeMore)) {
      underWay.shift()
      const bytes = await first.bytes
      yield bytes
      // Only now is it with the connection.
      terms.blocks.handedOn(bytes)
    } else if (isOpen) await Promise.race([input.more(), ...(first ? [first.bytes] : [])])
  }
}

async function answered(slab: Slab, terms: BatchTerms): Promise<Uint8Array<ArrayBuffer>> {
  const { answerer, blocks, report, stopped } = terms
  const { bytes, faults } = await answerer.answer(slab, blocks.take(), stopped)
  for (const fault of faults) report(fault)
  return bytes
}

/** The line at which a batch, or one of its lines, is refused. */
function refused(cut: Cut, problem: Problem): Uint8Array<ArrayBuffer> {
  const [first] = cut.kind === 'refusal' ? [cut] : linesOf(cut.slab)
  return Buffer.from(refusalLine(first?.line ?? 1, problem))
}

function watched(bytes: Promise<Uint8Array<ArrayBuffer>>): UnderWay {
  const underWay: UnderWay = { bytes, isReady: false }
  const settle = (): void => {
    underWay.isReady = true
  }
  bytes.then(settle, settle)
  return underWay
}
