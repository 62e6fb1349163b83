// The memory of the last long log waits for the next one: what is left behind is collected only when much lies about, so
// that several logs in a row would take twice the memory of one.

import { MOST_SUBS_LOGGED } from '../../../contract/session-log.ts'
import { ColumnMemory } from '../../../engine/index.ts'

/** Of all columns of a log and its account. */
const BYTES_PER_SUB = 256

let left: ColumnMemory | null = null

/** Memory for the longest log and its account: that of a log before it, or a new one where others have it. */
export function usedMemory(): ColumnMemory {
  const memory = left ?? new ColumnMemory(BYTES_PER_SUB * MOST_SUBS_LOGGED)
  left = null
  return memory
}

/** Leaves memory to the next log. */
export function leaveMemory(memory: ColumnMemory): void {
  memory.backTo(0)
  left = memory
}
