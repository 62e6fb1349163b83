import t from 'tap'
import { post, testApp, toyBody } from '../support/app.ts'
import { toys } from '../support/batch.ts'

void t.test('an instance is alive and ready until it drains', async (t) => {
  const { app } = await testApp(t)
  t.same((await app.inject('/health/live')).json(), { status: 'alive' })
  const ready = await app.inject('/health/ready')
  t.equal(ready.statusCode, 200)
  t.same(ready.json(), { status: 'ready' })
  t.equal(ready.headers['cache-control'], 'no-store')
  t.equal(ready.headers.connection, 'keep-alive')

  app.draining.active = true
  const draining = await app.inject('/health/ready')
  t.equal(draining.statusCode, 503)
  t.same(draining.json(), { status: 'draining' })
  t.equal((await app.inject('/health/live')).statusCode, 200, 'still alive')
  const answered = await post(app, toyBody)
  t.equal(answered.statusCode, 200, 'still answers')
  t.equal(answered.headers.connection, 'close', 'and asks the client to connect anew')
})

void t.test('metrics count requests by method, route and status, and time them', async (t) => {
  const { app } = await testApp(t, { endpoints: toys })
  await post(app, toyBody)
  await post(app, toyBody)
  await post(app, {})
  await app.inject('/v1/toy?request=1')
  await app.inject('/no-such-path/1')
  await app.inject('/no-such-path/2')
  const response = await app.inject('/metrics')
  t.equal(response.statusCode, 200)
  t.equal(response.headers['content-type'], 'text/plain; version=0.0.4; charset=utf-8')
  const lines = response.body.split('\n')
  for (const line of [
    '# TYPE http_requests_total counter',
    'http_requests_total{method="POST",route="/v1/toy",status="200"} 2',
    'http_requests_total{method="POST",route="/v1/toy",status="400"} 1',
    'http_requests_total{method="GET",route="/v1/toy",status="400"} 1',
    'http_requests_total{method="GET",route="none",status="404"} 2',
    '# TYPE http_request_duration_seconds histogram',
    'http_request_duration_seconds_bucket{le="+Inf",method="POST",route="/v1/toy",status="200"} 2',
    'http_request_duration_seconds_count{method="POST",route="/v1/toy",status="200"} 2',
    'batch_threads 0',
    '# TYPE process_cpu_seconds_total counter',
  ]) {
    t.ok(lines.includes(line), line)
  }
  t.equal(
    lines.filter((line) => line.startsWith('# HELP ')).length,
    new Set(lines.filter((line) => line.startsWith('# HELP '))).size,
  )
})

void t.test('the log has one line for each request, without body or query', async (t) => {
  const { app, logLines } = await testApp(t)
  await post(app, { ...toyBody, label: 'privat' })
  await app.inject(`/v1/toy?request=${encodeURIComponent(JSON.stringify({ ...toyBody, label: 'privat' }))}`)
  await post(app, { privat: 1 })
  await app.inject('/no-such-path?privat=1')
  const lines = logLines()
  t.match(lines, [
    { level: 30, method: 'POST', route: '/v1/toy', status: 200, ms: Number, bytes: 72 },
    { level: 30, method: 'GET', route: '/v1/toy', status: 200, ms: Number, bytes: 72 },
    { level: 30, method: 'POST', route: '/v1/toy', status: 400, ms: Number, bytes: Number },
    { level: 30, method: 'GET', status: 404, ms: Number, bytes: Number },
  ])
  t.equal(lines.length, 4)
  t.notMatch(JSON.stringify(lines), 'privat')
})

void t.test('a silent log is silent', async (t) => {
  const { app, logLines } = await testApp(t, { environment: { LOG_LEVEL: 'silent' } })
  await post(app, { ...toyBody, outcome: 'bug' })
  t.same(logLines(), [])
})

void t.test('every answer carries the header fields that keep browsers modest', async (t) => {
  const { app } = await testApp(t)
  for (const response of [await post(app, toyBody), await post(app, {}), await app.inject('/no-such-path')]) {
    t.match(response.headers, {
      'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
      'referrer-policy': 'no-referrer',
      'x-content-type-options': 'nosniff',
    })
  }
})
