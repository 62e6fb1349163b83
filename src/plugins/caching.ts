// What a link answers is a function of the link: a strong ETag over the bytes, an hour of freshness, 304 on a match.

import { hash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import fresh from 'fresh'

const freshness = 'public, max-age=3600'

const entityTag = (bytes: string) => `"${hash('sha256', bytes, 'base64url').slice(0, 27)}"`

/** `onSend` hook of a route whose good answers may be cached. */
export function sendCached(
  request: FastifyRequest,
  reply: FastifyReply,
  payload: unknown,
  done: (error: null, payload: unknown) => void,
): void {
  if (reply.statusCode !== 200 || typeof payload !== 'string') {
    done(null, payload)
    return
  }
  const etag = entityTag(payload)
  void reply.headers({ etag, 'cache-control': freshness })
  if (fresh(request.headers, { etag })) {
    void reply.code(304).removeHeader('content-type')
    done(null, null)
  } else done(null, payload)
}
