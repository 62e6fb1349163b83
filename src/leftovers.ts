// Memory that building the service leaves behind.

import { Session } from 'node:inspector/promises'
import { setFlagsFromString } from 'node:v8'

/**
 * How much more than what is left the heap may hold before the collector comes for all of it. By itself it would not let a
 * heap grow that was just collected, and come between every other few requests.
 */
const GROWTH_PERCENT = 200

/** Collects it: a third of all, which would stay for as long as nobody asks for much. */
export async function collectLeftovers(): Promise<void> {
  setFlagsFromString(`--heap-growing-percent=${GROWTH_PERCENT}`)
  const session = new Session()
  session.connect()
  await session.post('HeapProfiler.collectGarbage')
  session.disconnect()
}
