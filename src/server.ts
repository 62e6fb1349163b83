// Starts the service and stops it without losing a request.

import { availableParallelism } from 'node:os'
import { setTimeout as sleep } from 'node:timers/promises'
import type { FastifyInstance } from 'fastify'
import { pino } from 'pino'
import { buildApp } from './app.ts'
import { ConfigError, readConfig, type Config } from './config.ts'
import { collectLeftovers } from './leftovers.ts'
import { closeWithin } from './plugins/draining.ts'
import { endpoints } from './routes/index.ts'

const flushMilliseconds = 1000
/** For requests under way when the service stops. */
const LAST_MILLISECONDS = 20_000

function configOrExit(): Config {
  try {
    return readConfig(process.env)
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error
    process.stderr.write(`${error.message}\n`)
    process.exit(1)
  }
}

const config = configOrExit()
// Lines are gathered and written together: a write for each costs more than the request that it tells of.
const logDestination = pino.destination({ sync: false, minLength: 4096, periodicFlush: flushMilliseconds })
const app = await buildApp({ endpoints, config, logDestination, batchThreads: availableParallelism() })

/** Readiness fails first, so that a balancer looks elsewhere; requests under way are answered, up to a limit; then the process ends. */
async function stop(running: FastifyInstance): Promise<void> {
  running.draining.active = true
  await sleep(config.drainSeconds * 1000)
  await closeWithin(running, LAST_MILLISECONDS)
  logDestination.flushSync()
  process.exit(0)
}

async function start(): Promise<void> {
  try {
    const address = await app.listen({ host: config.host, port: config.port })
    process.stdout.write(`Photon Ledger answers at ${address} (documentation: ${address}/docs)\n`)
  } catch (error) {
    process.stderr.write(`Cannot listen on ${config.host}:${config.port}: ${(error as Error).message}\n`)
    process.exit(1)
  }
}

for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => void stop(app))
await collectLeftovers()
await start()
