import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { parseJson } from './json-text.ts'

/** Reads JSON bodies, and no others. */
export const jsonBody = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.removeAllContentTypeParsers()
    app.addContentTypeParser('application/json', { parseAs: 'string' }, (_request, body, parsed) => {
      parsed(null, parseJson(String(body), 'The body'))
    })
    done()
  },
  { name: 'json-body', fastify: '5.x' },
)
