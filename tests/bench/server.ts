// One server under load, in a process of its own: `bare` answers with objects of the same sizes and does nothing else,
// `ledger` is the service. Tells its port, and on request what CPU time it has used.

import { availableParallelism } from 'node:os'
import { fastify } from 'fastify'
import { BODY_LIMIT_BYTES, buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { collectLeftovers } from '../../src/leftovers.ts'
import { endpoints } from '../../src/routes/index.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { benchRequests } from './bodies.ts'
import { checkRequests } from './check-bodies.ts'

const kind = process.argv[2]

async function build() {
  if (kind === 'ledger') {
    const config = readConfig({ LOG_LEVEL: 'silent' })
    return buildApp({ endpoints, config, batchThreads: availableParallelism() })
  }
  const app = fastify()
  const answerInTurns = (path: string, bodyLimit: number, answers: readonly unknown[]) => {
    let next = 0
    app.post(path, { bodyLimit }, (_request, reply) => {
      next = (next + 1) % answers.length
      return reply.send(answers[next])
    })
  }
  const advice = benchRequests().map((request) => subExposure.handle(request as never))
  answerInTurns(subExposure.path, BODY_LIMIT_BYTES, advice)
  const checks = checkRequests().map((request) => sessionCheck.handle(request))
  answerInTurns(sessionCheck.path, sessionCheck.bodyLimitBytes ?? BODY_LIMIT_BYTES, checks)
  return app
}

const app = await build()
await collectLeftovers()
await app.listen({ host: '127.0.0.1', port: 0 })
const address = app.server.address()
process.send?.({ port: typeof address === 'object' && address !== null ? address.port : 0 })
process.on('message', (message) => {
  if (message === 'cpu') process.send?.({ cpu: process.cpuUsage() })
  if (message === 'stop') void app.close().then(() => process.exit(0))
})
