// HTTP that Node's parser lets pass although RFC 9112 asks to refuse it: Host missing, twice or malformed (section 3.2),
// Transfer-Encoding other than chunked or in HTTP/1.0 (section 6.1). Whoever sends it may mean to smuggle a request past
// a proxy, so the connection is closed too.

import type { IncomingMessage } from 'node:http'
import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { ProblemError } from '../contract/problem.ts'
import { pathOf } from './known-paths.ts'
import './route-config.ts'

const hostForm = /^(?:[\w.~!$&'()*+,;=%-]*|\[[0-9a-f:.]+\])(?::\d*)?$/i

function fault({ rawHeaders, headers, httpVersion }: IncomingMessage): string | undefined {
  let hosts = 0
  for (let index = 0; index < rawHeaders.length; index += 2) {
    const name = rawHeaders[index] ?? ''
    if (name.length === 4 && name.toLowerCase() === 'host') hosts++
  }
  if (hosts > 1) return 'Host is given more than once.'
  if (hosts === 0 && httpVersion === '1.1') return 'Host is missing.'
  if (hosts === 1 && !hostForm.test(headers.host ?? '')) return 'Host is malformed.'
  const coding = headers['transfer-encoding']
  if (coding === undefined) return undefined
  if (httpVersion === '1.0') return 'Transfer-Encoding does not exist in HTTP/1.0.'
  return coding.toLowerCase() === 'chunked' ? undefined : 'Transfer-Encoding may only be chunked.'
}

export const requestGuard = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.addHook('onRequest', (request, reply, next) => {
      const found = fault(request.raw)
      if (found === undefined) {
        next()
        return
      }
      void reply.header('connection', 'close')
      next(new ProblemError('unreadable-request', found))
    })

    let mostBodyBytes = app.initialConfig.bodyLimit ?? 0
    const streamed = new Set<string>()
    app.addHook('onRoute', ({ bodyLimit = 0, url, config }) => {
      mostBodyBytes = Math.max(mostBodyBytes, bodyLimit)
      if (config?.streams === true) streamed.add(url)
    })
    // A client that asks first and would send too much is not told to go on; the route answers it at once.
    app.server.on('checkContinue', (request: IncomingMessage, response: { writeContinue: () => void }) => {
      const isTooLarge = Number(request.headers['content-length']) > mostBodyBytes
      if (!isTooLarge && !streamed.has(pathOf(request.url ?? ''))) response.writeContinue()
      app.server.emit('request', request, response)
    })
    done()
  },
  { name: 'request-guard', fastify: '5.x' },
)
