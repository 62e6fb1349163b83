import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { readJson } from './json-text.ts'

/** Reads JSON bodies, and no others. */
export const jsonBody = fastifyPlugin(
  (app: FastifyInstance, _options: object, done: () => void) => {
    app.removeAllContentTypeParsers()
    app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (_request, body, parsed) => {
      parsed(null, readJson(body as Buffer, 'The body'))
    })
    done()
  },
  { name: 'json-body', fastify: '5.x' },
)
