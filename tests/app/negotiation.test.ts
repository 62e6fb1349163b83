import t from 'tap'
import type { Problem } from '../../src/contract/problem.ts'
import { post, testApp, toyBody } from '../support/app.ts'

const { app } = await testApp(t)
const text = JSON.stringify(toyBody)

function send(headers: Record<string, string>, payload = text) {
  return app.inject({ method: 'POST', url: '/v1/toy', headers, payload })
}

void t.test('the body must be JSON in UTF-8', async (t) => {
  for (const type of [
    'application/json',
    'application/json; charset=utf-8',
    'Application/JSON;charset="UTF-8"',
    'application/json; charset=utf8',
  ]) {
    t.equal((await send({ 'content-type': type })).statusCode, 200, type)
  }
  for (const type of [
    'text/plain',
    'application/json; charset=latin1',
    'application/x-www-form-urlencoded',
    'application/merge-patch+json',
    'application/jsonx',
    'json',
    '',
  ]) {
    const response = await send({ 'content-type': type })
    t.equal(response.statusCode, 415, type)
    t.equal(response.json<Problem>().type, '/problems/unsupported-media-type')
    t.equal(response.headers.accept, 'application/json')
  }
})

void t.test('a compressed body is refused, and told which coding is taken', async (t) => {
  t.equal((await send({ 'content-type': 'application/json', 'content-encoding': 'identity' })).statusCode, 200)
  for (const coding of ['gzip', 'br', 'deflate', 'gzip, identity']) {
    const response = await send({ 'content-type': 'application/json', 'content-encoding': coding })
    t.equal(response.statusCode, 415, coding)
    t.equal(response.headers['accept-encoding'], 'identity')
  }
})

void t.test('an empty body asks for an object', async (t) => {
  for (const headers of [{}, { 'content-type': 'application/json' }]) {
    const response = await send(headers, '')
    t.equal(response.statusCode, 400)
    t.equal(response.json<Problem>().type, '/problems/unreadable-request')
    t.equal(response.json<Problem>().detail, 'The body is empty; a JSON object is wanted.')
  }
  t.equal((await post(app, '  ')).json<Problem>().detail, 'The body is empty; a JSON object is wanted.')
})

void t.test('broken JSON is told by line and column', async (t) => {
  const response = await post(app, '{"apertureMm": 80,\n "sky": }')
  t.equal(response.statusCode, 400)
  t.same(response.json<Problem>(), {
    type: '/problems/unreadable-request',
    title: 'The request cannot be read',
    status: 400,
    detail: 'The body is not JSON: at line 2, column 9 "}" stands where a value is wanted.',
  })
})

void t.test('an Accept that leaves JSON out is 406', async (t) => {
  const verdicts: [string, number][] = [
    ['application/json', 200],
    ['*/*', 200],
    ['application/*;q=0.1', 200],
    ['text/html, application/json;q=0.9, */*;q=0', 200],
    ['TEXT/HTML, APPLICATION/JSON', 200],
    ['', 200],
    ['text/html', 406],
    ['image/svg+xml, text/*', 406],
    ['application/json;q=0', 406],
    ['application/json;q=0, */*', 406],
    ['application/*;q=0.0, */*', 406],
    ['*/*;q=0', 406],
    ['application/json;q=x', 406],
  ]
  for (const [accept, status] of verdicts) {
    const posted = await send({ 'content-type': 'application/json', accept })
    t.equal(posted.statusCode, status, accept)
    const table = await app.inject({ url: '/v1/reference/toys', headers: { accept } })
    t.equal(table.statusCode, status, `table: ${accept}`)
    if (status === 406) t.equal(table.json<Problem>().type, '/problems/not-acceptable')
  }
})

void t.test('more header values than are remembered are judged all the same', async (t) => {
  for (let index = 0; index < 250; index++) {
    const response = await app.inject({
      url: '/v1/reference/toys',
      headers: { accept: `text/x${index}, application/json` },
    })
    if (response.statusCode !== 200) t.fail(`text/x${index}`)
  }
  t.equal((await app.inject({ url: '/v1/reference/toys', headers: { accept: 'text/x0' } })).statusCode, 406)
})

void t.test('an unknown path is 404, with the nearest known one', async (t) => {
  const known = await app.inject('/v1/toi')
  t.equal(known.statusCode, 404)
  t.equal(known.headers['content-type'], 'application/problem+json; charset=utf-8')
  t.same(known.json<Problem>(), {
    type: '/problems/not-found',
    title: 'There is nothing here',
    status: 404,
    detail: 'No endpoint has this path; did you mean /v1/toy?',
  })
  const far = await app.inject('/wp-login.php?x=1')
  t.equal(far.json<Problem>().detail, 'No endpoint has this path; /docs lists them all.')
  t.equal((await app.inject(`/${'x'.repeat(5000)}`)).statusCode, 404)
  t.equal((await post(app, toyBody, '/v1/toys')).statusCode, 404, 'whatever the method')
})

void t.test('a known path with another method is 405, with those it takes', async (t) => {
  const refused: [string, string, string][] = [
    ['PUT', '/v1/toy', 'GET, HEAD, POST'],
    ['DELETE', '/v1/toy?request=1', 'GET, HEAD, POST'],
    ['POST', '/v1/reference/toys', 'GET, HEAD'],
    ['POST', '/health/live', 'GET, HEAD'],
    ['PATCH', '/problems/no-answer', 'GET, HEAD'],
    ['POST', '/docs/static/index.css', 'GET, HEAD'],
  ]
  for (const [method, url, allow] of refused) {
    const response = await app.inject({ method: method as 'PUT', url })
    t.equal(response.statusCode, 405, `${method} ${url}`)
    t.equal(response.headers.allow, allow)
    t.equal(response.json<Problem>().detail, `This path takes ${allow}.`)
  }
})

void t.test('a path that cannot be decoded is 400, a name that is too long 404', async (t) => {
  const broken = await app.inject('/v1/%zz')
  t.equal(broken.statusCode, 400)
  t.equal(broken.json<Problem>().type, '/problems/unreadable-request')
  const long = await app.inject(`/problems/${'x'.repeat(200)}`)
  t.equal(long.statusCode, 404)
  t.equal(long.json<Problem>().type, '/problems/not-found')
})
