// One server under load, in a process of its own: `bare` answers with objects of the same sizes and does nothing else,
// `ledger` is the service. Tells its port, and on request what CPU time it has used.

import { availableParallelism } from 'node:os'
import { fastify } from 'fastify'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { endpoints } from '../../src/routes/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { benchRequests } from './bodies.ts'

const kind = process.argv[2]

async function build() {
  if (kind === 'ledger') {
    const config = readConfig({ LOG_LEVEL: 'silent' })
    return buildApp({ endpoints, config, batchThreads: availableParallelism() })
  }
  const app = fastify()
  const answers = benchRequests().map((request) => subExposure.handle(request as never))
  let next = 0
  app.post('/v1/sub-exposure', (_request, reply) => {
    next = (next + 1) % answers.length
    return reply.send(answers[next])
  })
  return app
}

const app = await build()
await app.listen({ host: '127.0.0.1', port: 0 })
const address = app.server.address()
process.send?.({ port: typeof address === 'object' && address !== null ? address.port : 0 })
process.on('message', (message) => {
  if (message === 'cpu') process.send?.({ cpu: process.cpuUsage() })
  if (message === 'stop') void app.close().then(() => process.exit(0))
})
