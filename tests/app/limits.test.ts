import { fastify } from 'fastify'
import t from 'tap'
import type { Problem } from '../../src/contract/problem.ts'
import { overload } from '../../src/plugins/overload.ts'
import { problems } from '../../src/plugins/problems.ts'
import { clientOf, rateLimit } from '../../src/plugins/rate-limit.ts'
import { testApp } from '../support/app.ts'

void t.test('a client that asks too often is told how long to wait', async (t) => {
  let time = 1_000_000
  const app = fastify()
  t.teardown(() => app.close())
  await app.register(problems)
  await app.register(rateLimit, { perMinute: 2, now: () => time })
  app.get('/', () => 'answer')
  const ask = (remoteAddress: string) => app.inject({ url: '/', remoteAddress })

  const first = await ask('192.0.2.1')
  t.equal(first.statusCode, 200)
  t.match(first.headers, { 'ratelimit-limit': '2', 'ratelimit-remaining': '1', 'ratelimit-reset': '60' })
  t.equal(first.headers['retry-after'], undefined)
  time += 20_500
  t.match((await ask('192.0.2.1')).headers, { 'ratelimit-remaining': '0', 'ratelimit-reset': '40' })
  const refused = await ask('192.0.2.1')
  t.equal(refused.statusCode, 429)
  t.match(refused.headers, { 'ratelimit-limit': '2', 'ratelimit-remaining': '0', 'retry-after': '40' })
  t.same(refused.json<Problem>(), {
    type: '/problems/too-many-requests',
    title: 'Too many requests',
    status: 429,
    detail: '2 requests a minute are allowed; wait 40 seconds.',
  })
  t.equal((await ask('192.0.2.2')).statusCode, 200, 'another client is not concerned')
  time += 40_000
  t.equal((await ask('192.0.2.1')).statusCode, 200, 'the next minute begins anew')

  for (const address of ['127.0.0.1', '127.8.9.1', '::1', '::ffff:127.0.0.1']) {
    t.equal((await ask(address)).headers['ratelimit-limit'], '1000000', address)
  }
})

void t.test('a client is an address, or a network of 64 bits with IPv6', (t) => {
  const clients: [string, string][] = [
    ['192.0.2.1', '192.0.2.1'],
    ['::ffff:192.0.2.1', '192.0.2.1'],
    ['::1', '::1'],
    ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
    ['2001:db8:1:2::9', '2001:db8:1:2::/64'],
    ['2001:db8::9', '2001:db8:0:0::/64'],
    ['::9', '0:0:0:0::/64'],
    ['fe80::', 'fe80:0:0:0::/64'],
  ]
  for (const [address, client] of clients) t.equal(clientOf(address), client, address)
  t.end()
})

void t.test('behind a trusted proxy the client is whom it names; nobody else is believed', async (t) => {
  const forwarded = { 'x-forwarded-for': '203.0.113.9' }
  const { app: plain } = await testApp(t, { environment: { RATE_LIMIT_PER_MINUTE: '5' } })
  t.equal((await plain.inject({ url: '/', headers: forwarded })).headers['ratelimit-limit'], '1000000')
  const { app } = await testApp(t, { environment: { RATE_LIMIT_PER_MINUTE: '5', TRUST_PROXY: 'loopback' } })
  t.equal((await app.inject({ url: '/', headers: forwarded })).headers['ratelimit-limit'], '5')
  const spoofed = { 'x-forwarded-for': '127.0.0.1, 203.0.113.9' }
  t.equal((await app.inject({ url: '/', headers: spoofed })).headers['ratelimit-remaining'], '3')
  const direct = await app.inject({
    url: '/',
    headers: { 'x-forwarded-for': '127.0.0.1' },
    remoteAddress: '203.0.113.9',
  })
  t.equal(direct.headers['ratelimit-remaining'], '2')
})

void t.test('health and metrics are never counted', async (t) => {
  const { app } = await testApp(t, { environment: { RATE_LIMIT_PER_MINUTE: '1' } })
  for (const url of ['/health/live', '/health/ready', '/metrics']) {
    for (let times = 0; times < 3; times++) {
      const response = await app.inject({ url, remoteAddress: '192.0.2.1' })
      t.equal(response.statusCode, 200, url)
      t.equal(response.headers['ratelimit-limit'], undefined)
    }
  }
  t.equal((await app.inject({ url: '/', remoteAddress: '192.0.2.1' })).statusCode, 200)
  const limited = await app.inject({ url: '/no-such-path', remoteAddress: '192.0.2.1' })
  t.equal(limited.statusCode, 429, 'what does not exist is counted too')
  t.equal(limited.headers['access-control-allow-origin'], '*', 'and a page may read why')
})

void t.test('a service whose event loop lags turns requests away, then recovers', async (t) => {
  const app = fastify()
  t.teardown(() => app.close())
  await app.register(problems)
  await app.register(overload, { lagMilliseconds: 100, sampleMilliseconds: 50 })
  app.get('/', () => 'answer')
  app.get('/vital', { config: { unlimited: true } }, () => 'answer')
  await app.listen({ host: '127.0.0.1', port: 0 })
  const statusOf = async () => (await app.inject('/')).statusCode
  t.equal(await statusOf(), 200)

  const block = async () => {
    const end = performance.now() + 300
    while (performance.now() < end);
    await new Promise((resolve) => setTimeout(resolve, 0))
  }
  await block()
  t.equal(await statusOf(), 200, 'one pause is no overload')
  let response = await app.inject('/')
  for (let round = 0; round < 20 && response.statusCode === 200; round++) {
    await block()
    response = await app.inject('/')
  }
  t.equal(response.statusCode, 503, 'a blocked loop is noticed')
  t.equal(response.headers['retry-after'], '5')
  t.equal(response.json<Problem>().type, '/problems/overloaded')
  t.equal((await app.inject('/vital')).statusCode, 200, 'what must answer does')
  let recovered = false
  for (let round = 0; round < 100 && !recovered; round++) {
    await new Promise((resolve) => setTimeout(resolve, 60))
    recovered = (await statusOf()) === 200
  }
  t.ok(recovered, 'a free loop too')
})
