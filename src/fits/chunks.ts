// The chunks of a body, from a Node stream or anything else that can be iterated.

import { Readable } from 'node:stream'

/**
 * Iterates a body without closing it: whoever refuses a body half-way still wants to answer on the same connection.
 *
 * @param body  chunks of bytes; a stream is left open when the loop ends early
 * @param signal  ends the iteration, even when the body has stalled
 * @returns the chunks, in order
 * @throws the signal's reason, or what the body itself throws
 */
export async function* chunksOf(
  body: AsyncIterable<Uint8Array>,
  signal?: AbortSignal,
): AsyncGenerator<Uint8Array, void, undefined> {
  const iterator = iteratorOf(body)
  const abortion = new Abortion(signal)
  try {
    for (;;) {
      const next = await abortion.race(iterator.next())
      if (next.done) return
      yield next.value
    }
  } finally {
    abortion.forget()
    // Not awaited: after an abort the stalled `next` is still pending, and `return` would wait behind it.
    void iterator.return?.().catch(() => undefined)
  }
}

function iteratorOf(body: AsyncIterable<Uint8Array>): AsyncIterator<Uint8Array> {
  if (!(body instanceof Readable)) return body[Symbol.asyncIterator]()
  return body.iterator({ destroyOnReturn: false }) as AsyncIterator<Uint8Array>
}

/** A signal's abort as something to race against. */
class Abortion {
  private readonly signal: AbortSignal | undefined
  private readonly listener = (): void => {
    this.reject(this.signal?.reason)
  }
  private reject: (reason: unknown) => void = () => undefined

  constructor(signal: AbortSignal | undefined) {
    this.signal = signal
    signal?.addEventListener('abort', this.listener, { once: true })
  }

  async race<T>(pending: Promise<T>): Promise<T> {
    // What is left pending after an abort may fail yet, and nobody would hear of it.
    pending.catch(() => undefined)
    this.signal?.throwIfAborted()
    return new Promise((resolve, reject) => {
      this.reject = reject
      pending.then(resolve, reject)
    })
  }

  forget(): void {
    this.signal?.removeEventListener('abort', this.listener)
  }
}
