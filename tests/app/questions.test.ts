import t from 'tap'
import type { Problem } from '../../src/contract/problem.ts'
import { post, testApp, toyBody } from '../support/app.ts'

const { app, logLines } = await testApp(t)
const link = (request: unknown, path = '/v1/toy') => `${path}?request=${encodeURIComponent(JSON.stringify(request))}`
const answer = '{"apertureMm":80,"toSeconds":null,"explanation":["Günstig — a toy."]}'

void t.test('a question is answered in JSON', async (t) => {
  const response = await post(app, toyBody)
  t.equal(response.statusCode, 200)
  t.equal(response.headers['content-type'], 'application/json; charset=utf-8')
  t.equal(response.headers['content-length'], String(Buffer.byteLength(answer)))
  t.equal(response.headers.etag, undefined, 'a POST is not cached')
  t.equal(response.body, answer)
})

void t.test('a link answers the same bytes as the POST', async (t) => {
  const bodies = [toyBody, { ...toyBody, apertureMm: { value: 100.5, standardUncertainty: 0.5 }, label: 'ü & + %' }]
  for (const body of bodies) {
    const posted = await post(app, body)
    const linked = await app.inject(link(body))
    t.equal(linked.statusCode, 200)
    t.ok(linked.rawPayload.equals(posted.rawPayload))
    t.equal(linked.headers['content-type'], posted.headers['content-type'])
  }
})

void t.test('a link can be cached, and a match answers 304 without a body', async (t) => {
  const url = link(toyBody)
  const first = await app.inject(url)
  const etag = String(first.headers.etag)
  t.match(etag, /^"[\w-]{27}"$/, 'a strong entity tag')
  t.equal(first.headers['cache-control'], 'public, max-age=3600')
  t.equal((await app.inject(url)).headers.etag, etag, 'the same bytes have the same tag')
  t.not((await app.inject(link({ ...toyBody, apertureMm: 81 }))).headers.etag, etag)

  for (const field of [etag, `W/${etag}`, `"other", ${etag}`, '*']) {
    const response = await app.inject({ url, headers: { 'if-none-match': field } })
    t.equal(response.statusCode, 304, field)
    t.equal(response.body, '')
    t.equal(response.headers.etag, etag)
    t.equal(response.headers['cache-control'], 'public, max-age=3600')
    t.equal(response.headers['content-type'], undefined)
    t.equal(response.headers['content-length'], undefined)
  }
  for (const field of ['"other"', etag.slice(1, -1), '']) {
    const response = await app.inject({ url, headers: { 'if-none-match': field } })
    t.equal(response.statusCode, 200, field)
    t.equal(response.body, answer)
  }
})

void t.test('HEAD answers as GET does, without the body', async (t) => {
  const response = await app.inject({ method: 'HEAD', url: link(toyBody) })
  t.equal(response.statusCode, 200)
  t.equal(response.body, '')
  t.equal(response.headers['content-length'], String(Buffer.byteLength(answer)))
  const etag = String(response.headers.etag)
  const again = await app.inject({ method: 'HEAD', url: link(toyBody), headers: { 'if-none-match': etag } })
  t.equal(again.statusCode, 304)
  t.equal((await app.inject({ method: 'HEAD', url: '/v1/reference/toys' })).statusCode, 200)
})

void t.test('a bad link is refused, and a refusal is not cached', async (t) => {
  const refused: [string, string, string][] = [
    [
      '/v1/toy',
      'invalid-request',
      'The query parameter `request` is missing; it holds the URL-encoded JSON of the question.',
    ],
    [
      '/v1/toy?request=',
      'invalid-request',
      'The query parameter `request` is missing; it holds the URL-encoded JSON of the question.',
    ],
    ['/v1/toy?request={}&request={}', 'invalid-request', 'The query parameter `request` is given more than once.'],
    [
      '/v1/toy?request=%7B%22a%22%3A',
      'unreadable-request',
      'The query parameter `request` is not JSON: at line 1, column 6 the text ends where a value is wanted.',
    ],
    [
      '/v1/toy?request=%zz',
      'unreadable-request',
      'The query parameter `request` is not JSON: at line 1, column 1 "%zz" stands where a value is wanted.',
    ],
    [`${link(toyBody)}&requets=1`, 'invalid-request', 'The query holds parameters that this path does not know.'],
    [link({ ...toyBody, dither: 1 }), 'invalid-request', '/dither: 1 given; wanted: true or false'],
  ]
  for (const [url, kind, detail] of refused) {
    const response = await app.inject(url)
    const problem = response.json<Problem>()
    t.equal(response.statusCode, 400, url)
    t.equal(problem.type, `/problems/${kind}`)
    t.equal(problem.detail, detail)
    t.equal(response.headers['cache-control'], 'no-store')
    t.equal(response.headers.etag, undefined)
    if (kind === 'invalid-request' && problem.errors?.[0]?.pointer !== '/dither')
      t.equal(problem.errors?.[0]?.pointer, '')
  }
  t.match((await app.inject(`${link(toyBody)}&requets=1`)).json<Problem>().errors, [
    { pointer: '', message: 'unknown query parameter `requets`; did you mean `request`?' },
  ])
})

void t.test('query parameters that mean nothing are refused beside a body, and on a table', async (t) => {
  const posted = await post(app, toyBody, '/v1/toy?request=1')
  t.equal(posted.statusCode, 400)
  t.match(posted.json<Problem>().errors, [{ pointer: '', message: 'unknown query parameter `request`' }])
  const table = await app.inject('/v1/reference/toys?band=red')
  t.equal(table.statusCode, 400)
  t.match(table.json<Problem>().errors, [{ pointer: '', message: 'unknown query parameter `band`' }])
})

void t.test('a table of reference data is answered and cached like a link', async (t) => {
  const response = await app.inject('/v1/reference/toys')
  t.equal(response.body, '{"rows":["ball","kite"]}')
  t.equal(response.headers['content-type'], 'application/json; charset=utf-8')
  t.equal(response.headers['cache-control'], 'public, max-age=3600')
  const etag = String(response.headers.etag)
  const again = await app.inject({ url: '/v1/reference/toys', headers: { 'if-none-match': etag } })
  t.equal(again.statusCode, 304)
})

void t.test('what the engine cannot answer is 422, with its reason', async (t) => {
  const response = await post(app, { ...toyBody, outcome: 'engine-refuses' })
  t.equal(response.statusCode, 422)
  t.equal(response.headers['content-type'], 'application/problem+json; charset=utf-8')
  t.same(response.json<Problem>(), {
    type: '/problems/no-answer',
    title: 'The question can be read but has no answer',
    status: 422,
    detail: 'No sub is long enough.',
    errors: [{ pointer: '', message: 'No sub is long enough.' }],
  })
  const thrown = await post(app, { ...toyBody, outcome: 'no-answer' })
  t.equal(thrown.statusCode, 422)
  t.same(thrown.json<Problem>().errors, [{ pointer: '/sky', message: 'too bright' }])
})

void t.test('an answer that breaks its schema is a failure of the service, told in the log only', async (t) => {
  const reasons = {
    'not-a-number': /apertureMm must be number/,
    'unknown-field': /must NOT have additional properties/,
    bug: /secret internals/,
  }
  for (const [outcome, reason] of Object.entries(reasons)) {
    for (const response of [
      await post(app, { ...toyBody, outcome }),
      await app.inject(link({ ...toyBody, outcome })),
    ]) {
      t.equal(response.statusCode, 500)
      t.same(response.json<Problem>(), {
        type: '/problems/internal-error',
        title: 'The service failed',
        status: 500,
        detail: 'The service failed to answer. The reason is in its log.',
      })
      t.equal(response.headers.etag, undefined)
    }
    t.match(
      logLines()
        .filter(({ level }) => level === 50)
        .at(-1),
      { err: { message: reason }, route: '/v1/toy' },
    )
  }
})

void t.test('each endpoint may have a body limit of its own', async (t) => {
  t.equal((await post(app, toyBody, '/v1/small-toy')).statusCode, 200)
  const response = await post(app, { ...toyBody, label: 'x'.repeat(100) }, '/v1/small-toy')
  t.equal(response.statusCode, 413)
  t.equal(response.json<Problem>().detail, 'The body may have 100 bytes.')
  const large = await post(app, `{"a": "${'x'.repeat(65536)}"}`)
  t.equal(large.statusCode, 413)
  t.equal(large.json<Problem>().detail, 'The body may have 65536 bytes.')
})
