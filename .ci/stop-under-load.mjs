// Stops a server in the middle of its work, and fails if a request that reached it gets no good answer.
// usage: node stop-under-load.mjs PORT BODY-FILE STOP-COMMAND [ARGUMENT...]
import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { Agent, get, request } from 'node:http'
import { setTimeout as sleep } from 'node:timers/promises'

const heldRequests = 50
const busyClients = 4
const busySecondsAtMost = 15

const [port, bodyFile, command, ...commandArguments] = process.argv.slice(2)
const body = readFileSync(bodyFile)
const address = { host: '127.0.0.1', port }
const lost = []

/** Begins a question; its answer's promise resolves to whether the server keeps the connection, and never rejects. */
function begin(agent) {
  const headers = { 'content-type': 'application/json', 'content-length': body.length }
  const sent = request({ ...address, path: '/v1/sub-exposure', method: 'POST', agent, headers })
  const answered = new Promise((resolve) => {
    const lose = (reason) => {
      lost.push(reason)
      resolve(false)
    }
    sent.on('error', (error) => lose(error.code ?? error.message))
    sent.on('response', (answer) => {
      answer.on('error', (error) => lose(error.code ?? error.message))
      answer.on('end', () => {
        if (answer.statusCode === 200) resolve(answer.headers.connection !== 'close')
        else lose(`status ${answer.statusCode}`)
      })
      answer.resume()
    })
  })
  return { sent, answered }
}

/** One question after the other on one connection, until the server says that it closes it. */
async function keepAsking() {
  const agent = new Agent({ keepAlive: true, maxSockets: 1 })
  const end = performance.now() + busySecondsAtMost * 1000
  for (let asked = 1; performance.now() < end; asked++) {
    const { sent, answered } = begin(agent)
    sent.end(body)
    if (!(await answered)) return asked
  }
  throw new Error(`still served after ${busySecondsAtMost} s`)
}

function readiness() {
  return new Promise((resolve) => {
    const asked = get({ ...address, path: '/health/ready', agent: false }, (answer) => {
      answer.resume()
      resolve(answer.statusCode)
    })
    asked.on('error', (error) => resolve(error.code))
  })
}

async function untilNotReady() {
  for (let tries = 0; tries < 200; tries++) {
    const answer = await readiness()
    if (answer !== 200) return answer
    await sleep(25)
  }
  throw new Error('still ready 5 s after the stop')
}

function stop() {
  return new Promise((resolve, reject) => {
    const child = spawn(command, commandArguments, { stdio: ['ignore', 'ignore', 'inherit'] })
    child.on('error', reject)
    child.on('exit', resolve)
  })
}

const held = Array.from({ length: heldRequests }, () => begin(false))
for (const { sent } of held) sent.write(body.subarray(0, 10))
const busy = Array.from({ length: busyClients }, keepAsking)
await sleep(500)

const stopped = stop()
const whileStopping = await untilNotReady()
for (const { sent } of held) sent.end(body.subarray(10))
await Promise.all(held.map(({ answered }) => answered))
const asked = (await Promise.all(busy)).reduce((sum, count) => sum + count)
const stopStatus = await stopped

console.log(
  `stopped under load: readiness turned to ${whileStopping}, ` +
    `${heldRequests} half-sent and ${asked} whole requests, ${lost.length} lost ${[...new Set(lost)].join(', ')}`,
)
if (whileStopping !== 503 || lost.length > 0 || stopStatus !== 0) process.exitCode = 1
