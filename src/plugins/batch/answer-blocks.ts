// Memory for the answers of a batch. Fresh memory for every slab counts against the heap of the event loop, and brings on a
// collection of all of it several times in a batch; so blocks that were sent are written again.

const BLOCK_BYTES = 1_048_576
/** Blocks that wait for the next batch. */
const MOST_FREE = 8

export class AnswerBlocks {
  readonly #free: ArrayBuffer[]
  readonly #unsent: () => number
  readonly #onTheWay: { block: ArrayBuffer; end: number }[] = []
  #handedOn = 0

  /**
   * @param free    what batches before have left, and this one leaves
   * @param unsent  bytes that were handed on and that the system has not taken yet; more than that does no harm
   */
  constructor(free: ArrayBuffer[], unsent: () => number) {
    this.#free = free
    this.#unsent = unsent
  }

  /** A block that may be written. */
  take(): ArrayBuffer {
    this.#giveBack(this.#handedOn - this.#unsent())
    return this.#free.pop() ?? new ArrayBuffer(BLOCK_BYTES)
  }

  /** These bytes are with the connection now, and counted by `unsent` until they are sent. */
  handedOn(bytes: Uint8Array<ArrayBuffer>): void {
    this.#handedOn += bytes.length
    this.#onTheWay.push({ block: bytes.buffer, end: this.#handedOn })
  }

  /** Everything that was handed on is sent. */
  sent(): void {
    this.#giveBack(this.#handedOn)
  }

  #giveBack(sentBytes: number): void {
    for (let first = this.#onTheWay[0]; first !== undefined && first.end <= sentBytes; first = this.#onTheWay[0]) {
      this.#onTheWay.shift()
      // Answers that outgrew their block came in memory of their own.
      if (first.block.byteLength === BLOCK_BYTES && this.#free.length < MOST_FREE) this.#free.push(first.block)
    }
  }
}
