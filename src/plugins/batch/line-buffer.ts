// Cuts what arrives into slabs of whole lines. Bytes are copied into one block as they come, since small chunks cost many
// times their length when they are kept. `split2` drops a line that is too long without a word and puts replacement
// characters for what is no UTF-8; `node:readline` ends lines at U+2028 and has no limit.

import { MOST_BATCH_BYTES, MOST_LINE_BYTES, MOST_QUESTIONS } from '../../contract/batch.ts'
import { problem, type Problem } from '../../contract/problem.ts'
import { isBlank, LINE_FEED, type Slab } from './slab.ts'

export type Cut = { kind: 'slab'; slab: Slab } | { kind: 'refusal'; line: number; problem: Problem; isLast: boolean }

type NextLine = { kind: 'none' | 'cut-off' } | { kind: 'blank' | 'question' | 'too-long'; to: number }

// A slab costs its thread about as much as a question or two: waking, handing over, and the memory that changes hands.
const SLAB_BYTES = 65_536
const SLAB_QUESTIONS = 128
const FIRST_BLOCK_BYTES = 65_536

const AND_NO_MORE = 'this line and what follows it are not answered.'

export class LineBuffer {
  #block = Buffer.allocUnsafe(FIRST_BLOCK_BYTES)
  #start = 0
  #end = 0
  /** Number of the line at `#start`. */
  #line = 1
  /** No line ends between `#start` and here. */
  #searched = 0
  #questions = 0
  #received = 0
  /** Within a line that is too long, up to its end. */
  #isSkipping = false
  #isWhole = false
  #isOver = false

  /** Takes bytes in; those beyond the limits are dropped. */
  push(chunk: Uint8Array): void {
    if (this.#isOver) return
    const allowed = chunk.subarray(0, Math.max(0, MOST_BATCH_BYTES - this.#received))
    this.#received += chunk.length
    let bytes = allowed
    if (this.#isSkipping) {
      const feed = allowed.indexOf(LINE_FEED)
      if (feed === -1) return
      this.#isSkipping = false
      this.#line++
      bytes = allowed.subarray(feed + 1)
    }
    this.#makeRoom(bytes.length)
    this.#block.set(bytes, this.#end)
    this.#end += bytes.length
  }

  /** Number of the line that comes next. */
  get line(): number {
    return this.#line
  }

  /** No more bytes will come. */
  end(): void {
    this.#isWhole = true
  }

  /** The next lines; nothing while none is complete. */
  cut(): Cut | undefined {
    if (this.#isOver) return undefined
    let at = this.#start
    let lines = 0
    let questions = 0
    let next = this.#lineAt(at)
    for (; next.kind === 'blank' || next.kind === 'question'; next = this.#lineAt(at)) {
      if (next.kind === 'question') {
        const isFull = questions === SLAB_QUESTIONS || at - this.#start >= SLAB_BYTES
        if (isFull || this.#questions + questions === MOST_QUESTIONS) break
        questions++
      }
      at = next.to
      lines++
    }
    const bytes = new Uint8Array(this.#block.subarray(this.#start, at))
    const slab = { firstLine: this.#line, questionsBefore: this.#questions, questions, bytes }
    this.#line += lines
    this.#questions += questions
    this.#advance(at)
    return questions > 0 ? { kind: 'slab', slab } : this.#refusal(next)
  }

  #lineAt(at: number): NextLine {
    const feed = this.#nextFeed(at)
    if (feed === -1 && this.#received > MOST_BATCH_BYTES) return { kind: 'cut-off' }
    const end = feed === -1 ? this.#end : feed
    const isTooLong = end - at > MOST_LINE_BYTES
    if (feed === -1 && !isTooLong && (!this.#isWhole || at === end)) return { kind: 'none' }
    const to = feed === -1 ? end : feed + 1
    if (isTooLong) return { kind: 'too-long', to }
    return { kind: isBlank(this.#block, at, end) ? 'blank' : 'question', to }
  }

  /** Why the line at `#start` is no question of this batch. */
  #refusal(next: NextLine): Cut | undefined {
    switch (next.kind) {
      case 'too-long':
        return this.#skipLine(next.to)
      case 'cut-off':
        return this.#giveUp(`A batch may have ${MOST_BATCH_BYTES} bytes; ${AND_NO_MORE}`)
      case 'question':
        return this.#giveUp(`A batch may have ${MOST_QUESTIONS} questions; ${AND_NO_MORE}`)
      case 'blank':
      case 'none':
        return undefined
    }
  }

  #giveUp(detail: string): Cut {
    this.#isOver = true
    this.#block = Buffer.alloc(0)
    return refuse(this.#isSkipping ? this.#line + 1 : this.#line, detail, true)
  }

  #skipLine(to: number): Cut {
    const line = this.#line
    this.#isSkipping = this.#block[to - 1] !== LINE_FEED
    if (!this.#isSkipping) this.#line++
    this.#advance(to)
    return refuse(line, `The line may have ${MOST_LINE_BYTES} bytes; ask a longer question by itself.`, false)
  }

  #nextFeed(from: number): number {
    const isFirst = from === this.#start
    const feed = this.#block.subarray(0, this.#end).indexOf(LINE_FEED, isFirst ? Math.max(from, this.#searched) : from)
    if (feed === -1 && isFirst) this.#searched = this.#end
    return feed
  }

  #advance(to: number): void {
    this.#start = to
    if (to < this.#end) return
    this.#start = this.#end = this.#searched = 0
    if (this.#block.length > FIRST_BLOCK_BYTES) this.#block = Buffer.allocUnsafe(FIRST_BLOCK_BYTES)
  }

  #makeRoom(bytes: number): void {
    if (this.#end + bytes <= this.#block.length) return
    const held = this.#block.subarray(this.#start, this.#end)
    const isHalfFree = held.length + bytes <= this.#block.length / 2
    const block = isHalfFree ? this.#block : Buffer.allocUnsafe(Math.max(2 * this.#block.length, held.length + bytes))
    block.set(held)
    this.#searched = Math.max(0, this.#searched - this.#start)
    this.#end = held.length
    this.#start = 0
    this.#block = block
  }
}

function refuse(line: number, detail: string, isLast: boolean): Cut {
  return { kind: 'refusal', line, problem: problem('body-too-large', detail), isLast }
}
