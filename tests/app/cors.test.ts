import t from 'tap'
import { post, testApp, toyBody } from '../support/app.ts'

const exposed = 'ETag, RateLimit-Limit, RateLimit-Remaining, RateLimit-Reset, Retry-After'
const preflight = {
  origin: 'https://club.example',
  'access-control-request-method': 'POST',
  'access-control-request-headers': 'content-type',
}

void t.test('pages of all origins may read answers and problems', async (t) => {
  const { app } = await testApp(t)
  const responses = [await post(app, toyBody), await post(app, {}), await app.inject('/no-such-path')]
  for (const { headers } of responses) {
    t.equal(headers['access-control-allow-origin'], '*')
    t.equal(headers['access-control-expose-headers'], exposed)
    t.equal(headers.vary, undefined)
  }
})

void t.test('a preflight is answered for known paths', async (t) => {
  const { app } = await testApp(t)
  const response = await app.inject({ method: 'OPTIONS', url: '/v1/toy?x=1', headers: preflight })
  t.equal(response.statusCode, 204)
  t.equal(response.body, '')
  t.match(response.headers, {
    allow: 'GET, HEAD, POST, OPTIONS',
    'access-control-allow-origin': '*',
    'access-control-allow-methods': 'GET, HEAD, POST, OPTIONS',
    'access-control-allow-headers': 'Accept, Content-Encoding, Content-Type, If-None-Match',
    'access-control-max-age': '86400',
  })
  t.equal((await app.inject({ method: 'OPTIONS', url: '/v1/toy' })).statusCode, 204, 'OPTIONS without an origin too')
  t.equal((await app.inject({ method: 'OPTIONS', url: '/no-such-path', headers: preflight })).statusCode, 404)
})

void t.test('listed origins are admitted, others are not, and caches keep them apart', async (t) => {
  const { app } = await testApp(t, { environment: { CORS_ORIGINS: 'https://club.example,http://localhost:3000' } })
  for (const origin of ['https://club.example', 'http://localhost:3000']) {
    const { headers } = await app.inject({ url: '/v1/reference/toys', headers: { origin } })
    t.equal(headers['access-control-allow-origin'], origin)
    t.equal(headers['access-control-expose-headers'], exposed)
    t.equal(headers.vary, 'Origin')
  }
  for (const origin of ['https://other.example', 'null', undefined]) {
    const { headers } = await app.inject({ url: '/', headers: origin === undefined ? {} : { origin } })
    t.equal(headers['access-control-allow-origin'], undefined, origin ?? 'no origin')
    t.equal(headers.vary, 'Origin, Accept')
  }
})
