// Asks a server for its health again and again, on a thread of its own; tells the longest wait since it was last asked.

import { parentPort, workerData } from 'node:worker_threads'

let longest = 0

parentPort?.on('message', () => {
  parentPort?.postMessage(longest)
  longest = 0
})

for (;;) {
  const before = performance.now()
  await (await fetch(String(workerData))).text()
  longest = Math.max(longest, performance.now() - before)
  await new Promise((resolve) => setTimeout(resolve, 5))
}
