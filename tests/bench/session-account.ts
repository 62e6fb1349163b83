// Accounts 100,000 subs over HTTP, in JSON and in CSV: time, memory, and how long another request waits meanwhile.
// `npm run compile:tests && node .build/tests/bench/session-account.js`

import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { csv, json, setup } from './session-account-log.ts'

const PORT = 18_490

const server = spawn(
  process.execPath,
  [...process.execArgv, fileURLToPath(new URL('../../src/server.js', import.meta.url))],
  {
    env: { ...process.env, PORT: String(PORT), LOG_LEVEL: 'error' },
    stdio: 'inherit',
  },
)
const base = `http://127.0.0.1:${PORT}`

const memory = (name: 'VmRSS' | 'VmHWM') =>
  Number(new RegExp(`${name}:\\s+(\\d+)`).exec(readFileSync(`/proc/${server.pid ?? 0}/status`, 'utf8'))?.[1]) / 1024

const say = (line: string) => process.stdout.write(`${line}\n`)

async function untilReady(): Promise<void> {
  for (let tries = 0; tries < 100; tries++) {
    if (
      await fetch(`${base}/health/ready`).then(
        ({ ok }) => ok,
        () => false,
      )
    )
      return
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
  throw new Error('the server did not come up')
}

/** Longest wait of a small request since this was asked last. */
async function longestWait(): Promise<number> {
  pinger.postMessage('longest?')
  const [longest] = (await once(pinger, 'message')) as [number]
  return longest
}

async function timed(name: string, url: string, type: string, body: string): Promise<void> {
  await longestWait()
  const started = performance.now()
  const response = await fetch(base + url, { method: 'POST', headers: { 'content-type': type }, body })
  const bytes = (await response.arrayBuffer()).byteLength
  const seconds = (performance.now() - started) / 1000
  const sizes = `${(body.length / 1e6).toFixed(1)} MB in, ${(bytes / 1e6).toFixed(2)} MB out`
  const waits = `another request waits up to ${(await longestWait()).toFixed(0)} ms`
  const memories = `memory now ${memory('VmRSS').toFixed(0)} MB, most ${memory('VmHWM').toFixed(0)} MB`
  say(`${name}: ${response.status}, ${sizes}, ${seconds.toFixed(2)} s, ${waits}; ${memories}`)
}

await untilReady()
const pinger = new Worker(new URL('pinger.js', import.meta.url), { workerData: `${base}/health/live` })
say(`idle: memory ${memory('VmRSS').toFixed(0)} MB`)
const asCsv = `/v1/session-account?request=${encodeURIComponent(JSON.stringify(setup))}`
for (let round = 0; round < 5; round++) {
  await timed('CSV', asCsv, 'text/csv', csv)
  await timed('JSON', '/v1/session-account', 'application/json', json)
}
await timed('JSON, every sub', '/v1/session-account', 'application/json', json.replace('{', '{"everySub":true,'))
await pinger.terminate()
server.kill('SIGTERM')
await once(server, 'exit')
