// The OpenAPI document, made from the schemas that validate, and a page to read it and to try it. All from this server.

import swagger from '@fastify/swagger'
import swaggerUi from '@fastify/swagger-ui'
import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { sendCached } from './caching.ts'
import { completeDocument } from './openapi-complete.ts'
import { OPENAPI_INFO } from './openapi-text.ts'

export interface OpenapiOptions {
  version: string
}

const pagePolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')

export const openapi = fastifyPlugin(
  async (app: FastifyInstance, { version }: OpenapiOptions) => {
    await app.register(swagger, {
      openapi: { openapi: '3.1.1', info: { ...OPENAPI_INFO, version }, servers: [{ url: '/' }] },
      convertConstToEnum: false,
      refResolver: { buildLocalReference: (json) => json.$id as string },
      transformObject: (generated) => {
        const document = 'openapiObject' in generated ? generated.openapiObject : generated.swaggerObject
        completeDocument(document as Parameters<typeof completeDocument>[0])
        return document
      },
    })
    await app.register(swaggerUi, {
      routePrefix: '/docs',
      theme: { title: OPENAPI_INFO.title },
      staticCSP: pagePolicy,
      uiConfig: {
        layout: 'BaseLayout',
        deepLinking: true,
        displayRequestDuration: true,
        persistAuthorization: false,
        tryItOutEnabled: true,
        defaultModelsExpandDepth: 0,
      },
    })
    let document: string | undefined
    app.route({
      method: ['GET', 'HEAD'],
      url: '/openapi.json',
      schema: { hide: true },
      onSend: sendCached,
      handler: (_request, reply) => {
        document ??= JSON.stringify(app.swagger())
        return reply.header('content-type', 'application/json').send(document)
      },
    })
  },
  { name: 'openapi', fastify: '5.x' },
)
