// Reads a body that holds a long list, in JSON or CSV, as it comes in.

import type { Readable } from 'node:stream'
import { setImmediate as othersTurn } from 'node:timers/promises'
import type { ItemTaker } from '../routes/endpoint.ts'
import { ListCutter } from './list-cutter.ts'
import { Utf8Text } from './utf8-text.ts'

/** Takes note of bytes that came in; throws when they are too many. */
type Count = (bytes: number) => void

/** How long the chunks of one body are read before others have their turn. */
const TURN_MILLISECONDS = 10

/** Smaller pieces are put together first: joining a text anew for every byte of a body would take too long. */
const LEAST_CHARACTERS = 4096

/** Hands the pieces of a body on as text. */
async function readText(body: Readable, count: Count, take: (text: string) => void, utf8: Utf8Text): Promise<void> {
  let held = ''
  let turnBegan = performance.now()
  // Left open by who stops early, so that the rest can be thrown away and the client hears why.
  for await (const chunk of body.iterator({ destroyOnReturn: false }) as AsyncIterable<Uint8Array>) {
    count(chunk.byteLength)
    held += utf8.next(chunk)
    if (held.length < LEAST_CHARACTERS) continue
    take(held)
    held = ''
    // A fast client fills the loop with its chunks; whoever else waits comes in between.
    if (performance.now() - turnBegan < TURN_MILLISECONDS) continue
    await othersTurn()
    turnBegan = performance.now()
  }
  take(held + utf8.end())
}

/**
 * A JSON object, the items of one of its lists handed on one by one.
 *
 * @returns the object, the list empty where its items were handed on
 * @throws {ProblemError} `unreadable-request`, `invalid-request`, or what `count` or `take` throws
 */
export async function readJsonLines(body: Readable, count: Count, field: string, taker: ItemTaker): Promise<unknown> {
  const cutter = new ListCutter(field, taker)
  await readText(
    body,
    count,
    (text) => {
      cutter.push(text)
    },
    new Utf8Text(),
  )
  const value = cutter.end()
  const left = cutter.isFound ? undefined : (value as Record<string, unknown> | null)?.[field]
  if (!Array.isArray(left)) return value
  for (const item of left as unknown[]) taker.take(item)
  return { ...(value as object), [field]: [] }
}

/**
 * CSV, handed on in pieces of text; bytes that are no UTF-8 come as U+FFFD, so that a line can be named for them.
 *
 * @throws {ProblemError} as {@link readJsonLines}
 */
export async function readCsvLines(body: Readable, count: Count, take: (text: string) => void): Promise<void> {
  await readText(body, count, take, new Utf8Text({ isLenient: true }))
}
