import t from 'tap'
import { PROBLEMS } from '../../src/contract/problem.ts'
import { post, testApp, toyBody } from '../support/app.ts'

interface Media {
  schema: { $ref: string }
  examples?: Record<string, { summary: string; description?: string; value: unknown }>
}

interface Operation {
  operationId: string
  summary: string
  description: string
  tags: string[]
  parameters?: { name: string; in: string; required: boolean; content: Record<string, Media> }[]
  requestBody?: { content: Record<string, Media> }
  responses: Record<string, { $ref?: string; content?: Record<string, Media>; headers?: object }>
}

interface Document {
  openapi: string
  info: { title: string; version: string; license: object; description: string }
  servers: object[]
  tags: { name: string }[]
  paths: Record<string, Record<string, Operation>>
  components: { schemas: Record<string, object>; responses: Record<string, { content: Record<string, Media> }> }
}

const { app } = await testApp(t)
const document = (await app.inject('/openapi.json')).json<Document>()

void t.test('the OpenAPI document is made of the schemas that validate', async (t) => {
  t.equal(document.openapi, '3.1.1')
  t.match(document.info, { title: 'Photon Ledger', license: { identifier: 'Apache-2.0' } })
  t.same(document.servers, [{ url: '/' }])
  t.same(document.tags, [{ name: 'Toys' }, { name: 'Service' }])
  t.match(document.components.schemas.ToyRequest, {
    properties: {
      focalLengthMm: { type: 'number', minimum: 10, maximum: 20000, 'x-unit': 'mm', examples: [100] },
      sky: { $ref: '#/components/schemas/ToySky' },
    },
    required: ['apertureMm', 'sky'],
    additionalProperties: false,
  })
  t.same((await app.inject('/docs/json')).json<Document>(), document, 'the page reads the same document')
})

void t.test('every reference in the document leads somewhere', (t) => {
  const references = [...JSON.stringify(document).matchAll(/"\$ref":"([^"]*)"/g)].map(([, reference = '']) => reference)
  t.ok(references.length > 20)
  for (const reference of new Set(references)) {
    const found = reference
      .split('/')
      .slice(1)
      .reduce<unknown>((at, step) => (at as Record<string, unknown>)[step], document)
    t.type(found, 'object', reference)
  }
  t.end()
})

void t.test('a question is an operation with examples, and so is its link', (t) => {
  const { post: asked, get: linked } = document.paths['/v1/toy'] as { post: Operation; get: Operation }
  t.match(asked, {
    operationId: 'toy',
    summary: 'How long is a toy?',
    description: 'Answers what it was asked.',
    tags: ['Toys'],
  })
  const examples = {
    'two-fields': { summary: 'The least', value: toyBody },
    'with-uncertainty': {
      summary: 'A measured aperture',
      description: 'With its uncertainty.',
      value: { apertureMm: { value: 80, standardUncertainty: 0.5 }, sky: { magPerArcsec2: 20.6 } },
    },
  }
  const media = { schema: { $ref: '#/components/schemas/ToyRequest' }, examples }
  t.same(asked.requestBody, { required: true, content: { 'application/json': media } })
  t.equal(linked.operationId, 'toyLink')
  t.match(linked.parameters, [{ name: 'request', in: 'query', required: true, content: { 'application/json': media } }])
  t.match(linked.responses['200']?.headers, { ETag: Object, 'Cache-Control': Object })
  for (const { responses } of [asked, linked]) {
    t.match(responses['200'], {
      content: { 'application/json': { schema: { $ref: '#/components/schemas/ToyAnswer' } } },
    })
  }
  t.same(Object.keys(asked.responses), ['200', '400', '406', '413', '415', '422', '429', '503'])
  t.same(Object.keys(linked.responses), ['200', '304', '400', '406', '414', '422', '429', '431', '503'])
  t.same(Object.keys(document.paths['/v1/reference/toys']?.get?.responses ?? {}), ['200', '400', '406', '429', '503'])
  t.end()
})

void t.test('every documented example is answered', async (t) => {
  for (const [path, operations] of Object.entries(document.paths)) {
    const examples = operations.post?.requestBody?.content['application/json']?.examples ?? {}
    for (const [name, { value }] of Object.entries(examples)) {
      t.equal((await post(app, value, path)).statusCode, 200, `${path} ${name}`)
    }
  }
})

void t.test('operations have distinct names, and nothing internal is published', (t) => {
  const operations = Object.values(document.paths).flatMap((methods) => Object.values(methods))
  const names = operations.map(({ operationId }) => operationId)
  t.equal(new Set(names).size, names.length)
  t.notMatch(JSON.stringify(document), /x-problems|x-request-examples|x-link|Default Response/)
  t.same(
    Object.values(document.paths).flatMap((methods) => Object.keys(methods).filter((method) => method === 'head')),
    [],
  )
  t.end()
})

void t.test('problem responses show every kind of problem of their status', (t) => {
  for (const [name, { content }] of Object.entries(document.components.responses)) {
    const { schema, examples = {} } = content['application/problem+json'] ?? { schema: { $ref: '' } }
    t.equal(schema.$ref, '#/components/schemas/Problem')
    const status = Number(name.replace('Problem', ''))
    const kinds = Object.entries(PROBLEMS).filter(([, problem]) => problem.status === status)
    t.same(
      Object.keys(examples),
      kinds.map(([kind]) => kind),
    )
    for (const { value } of Object.values(examples)) t.match(value, { status })
  }
  t.end()
})

void t.test('the documentation page needs nothing from elsewhere', async (t) => {
  const page = await app.inject('/docs')
  t.equal(page.statusCode, 200)
  t.match(page.headers['content-type'], 'text/html')
  t.match(page.headers['content-security-policy'], /^default-src 'none'; script-src 'self';/)
  const script = (await app.inject('/docs/static/swagger-initializer.js')).body
  t.match(script, /validatorUrl: null/)
  t.match(script, /"persistAuthorization":false/)
  t.notMatch(`${page.body}${script.replace(/See https:\S*/gi, '').replace(/\/\/.*$/gm, '')}`, /https?:/)
  for (const [, path = ''] of page.body.matchAll(/(?:href|src)="([^"]*)"/g)) {
    t.ok(path.startsWith('/docs/'), path)
    t.equal((await app.inject(path)).statusCode, 200, path)
  }
})

void t.test('a browser at the root is led to the documentation, a program gets a list', async (t) => {
  const accept = 'text/html,application/xhtml+xml,*/*;q=0.8'
  const browser = await app.inject({ url: '/', headers: { accept } })
  t.equal(browser.statusCode, 303)
  t.equal(browser.headers.location, '/docs')
  const program = await app.inject('/')
  t.equal(program.headers.vary, 'Accept')
  t.match(program.json(), {
    name: 'Photon Ledger',
    documentation: '/docs',
    openapi: '/openapi.json',
    endpoints: [
      { path: '/v1/toy', methods: ['POST', 'GET'], summary: 'How long is a toy?' },
      { path: '/v1/small-toy', methods: ['POST', 'GET'] },
      { path: '/v1/reference/toys', methods: ['GET'], summary: 'Which toys are there?' },
    ],
  })
})

void t.test('the type of every problem leads to its explanation', async (t) => {
  for (const [kind, about] of Object.entries(PROBLEMS)) {
    const response = await app.inject(`/problems/${kind}`)
    t.equal(response.statusCode, 200, kind)
    t.same(response.json(), { type: `/problems/${kind}`, ...about })
  }
  for (const kind of ['nonsense', 'constructor', '__proto__']) {
    t.equal((await app.inject(`/problems/${kind}`)).statusCode, 404, kind)
  }
})

void t.test('the document may be cached', async (t) => {
  const { headers } = await app.inject('/openapi.json')
  const again = await app.inject({ url: '/openapi.json', headers: { 'if-none-match': String(headers.etag) } })
  t.equal(again.statusCode, 304)
})
