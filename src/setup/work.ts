// Work that takes long enough to keep others waiting is written as a generator: each `yield` is a place where others may
// have their turn. So the same code answers at once or in turns.

import { setImmediate as othersTurn } from 'node:timers/promises'

export type Work<Result> = Generator<void, Result>

/** How long one turn lasts before the next `yield` ends it. */
const TURN_MILLISECONDS = 10

/** Goes through a list a part at a time. A loop that pauses within would never be made fast machine code of. */
export function* inPartsOf(size: number, count: number, take: (from: number, to: number) => void): Work<void> {
  for (let from = 0; from < count; from += size) {
    yield
    take(from, Math.min(from + size, count))
  }
}

/** Does all of it without a pause. */
export function atOnce<Result>(work: Work<Result>): Result {
  for (;;) {
    const step = work.next()
    if (step.done === true) return step.value
  }
}

/** Does it turn by turn; whatever else waits for the event loop comes in between. */
export async function inTurns<Result>(work: Work<Result>): Promise<Result> {
  let turnBegan = performance.now()
  for (;;) {
    const step = work.next()
    if (step.done === true) return step.value
    if (performance.now() - turnBegan < TURN_MILLISECONDS) continue
    await othersTurn()
    turnBegan = performance.now()
  }
}
