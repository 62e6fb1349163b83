// Memory that building the service leaves behind.

import { Session } from 'node:inspector/promises'

/**
 * Collects it: a third of all, which would stay for as long as nobody asks for much. Until the heap has grown again the
 * collector comes more often, which only a service that is asked without a pause will notice.
 */
export async function collectLeftovers(): Promise<void> {
  const session = new Session()
  session.connect()
  await session.post('HeapProfiler.collectGarbage')
  session.disconnect()
}
