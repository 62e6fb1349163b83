// The body of a batch as it arrives. All of it may come before any answer is read: a client that sends everything first
// would otherwise wait for the service, and the service for the client.

import type { Readable } from 'node:stream'
import { problem } from '../../contract/problem.ts'
import { LineBuffer, type Cut } from './line-buffer.ts'

/** How long a batch waits for the next bytes. */
const PATIENCE_MILLISECONDS = 10_000

export class BatchInput {
  readonly #lines = new LineBuffer()
  readonly #patience: number
  #isEnded = false
  #isLate = false
  #waiting: Promise<void> | undefined
  #wake: () => void = () => undefined

  constructor(body: Readable, patienceMilliseconds = PATIENCE_MILLISECONDS) {
    this.#patience = patienceMilliseconds
    body.on('data', (chunk: Buffer) => {
      this.#lines.push(chunk)
      this.#wake()
    })
    body.on('end', () => {
      this.#lines.end()
      this.stop()
    })
    // What breaks off breaks the connection too, and with it the answer.
    body.on('error', () => undefined)
  }

  /** Nothing more will be cut than is there now. */
  get isEnded(): boolean {
    return this.#isEnded
  }

  cut(): Cut | undefined {
    const cut = this.#lines.cut()
    if (cut !== undefined || !this.#isLate) return cut
    const seconds = this.#patience / 1000
    const late = problem('request-timeout', `Nothing came for ${seconds} seconds; what would follow is not answered.`)
    return { kind: 'refusal', line: this.#lines.line, problem: late, isLast: true }
  }

  /** Settles when there is more to cut, or nothing will come any more. */
  more(): Promise<void> {
    if (this.#isEnded) return Promise.resolve()
    this.#waiting ??= new Promise<void>((resolve) => {
      const waited = setTimeout(() => {
        this.#isLate = true
        this.stop()
      }, this.#patience)
      this.#wake = () => {
        clearTimeout(waited)
        this.#waiting = undefined
        resolve()
      }
    })
    return this.#waiting
  }

  /** Ends the waiting; what has come so far can still be cut. */
  stop(): void {
    this.#isEnded = true
    this.#wake()
  }
}
