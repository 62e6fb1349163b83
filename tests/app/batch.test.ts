// What a batch answers, line by line.

import t from 'tap'
import { BatchAnswerLineSchema, MOST_BATCH_BYTES, MOST_LINE_BYTES, MOST_QUESTIONS } from '../../src/contract/batch.ts'
import type { Problem } from '../../src/contract/problem.ts'
import { endpoints } from '../../src/routes/index.ts'
import { post, testApp, toyBody, type ToyRequest } from '../support/app.ts'
import { answerOf, GOOD, linesOf, listening, NDJSON, open, toyLine, toys, withThreads } from '../support/batch.ts'

const { app, logLines } = await testApp(t, { endpoints: toys })

async function ask(payload: string | Buffer, headers: Record<string, string> = { 'content-type': NDJSON }) {
  const response = await app.inject({ method: 'POST', url: '/v1/batch', headers, payload })
  return { response, lines: response.statusCode === 200 ? linesOf(response.body) : [] }
}

/** The problem of the only line. */
const problemOf = async (line: string | Buffer) => (await ask(line)).lines[0]?.problem

void t.test('each line is answered in its place, by what it would be answered alone', async (t) => {
  const requests: unknown[] = [
    toyBody,
    { ...toyBody, apertureMm: { value: 100.5, standardUncertainty: 0.5 } },
    { ...toyBody, apertureMm: 1, skye: 2 },
    { ...toyBody, outcome: 'engine-refuses' },
    { ...toyBody, outcome: 'no-answer' },
    { ...toyBody, outcome: 'not-a-number' },
    { ...toyBody, outcome: 'bug' },
    {},
    5,
    null,
    [toyBody],
  ]
  const { response, lines } = await ask(requests.map((it, index) => `${toyLine(it, { id: `n${index}` })}\n`).join(''))
  t.equal(response.headers['content-type'], NDJSON)
  t.equal(lines.length, requests.length)
  for (const [index, request] of requests.entries()) {
    const alone = await post(app, request)
    const [name, body] =
      alone.statusCode === 200 ? ['answer', alone.json<object>()] : ['problem', alone.json<Problem>()]
    t.same(lines[index], { line: index + 1, id: `n${index}`, status: alone.statusCode, [name]: body })
    t.ok(BatchAnswerLineSchema.safeParse(lines[index]).success)
  }
  const faults = logLines().filter(({ msg }) => msg === 'no answer in a batch')
  t.equal(faults.length, 2, 'faults of the service are in its log')
  t.match(faults, [{ route: '/v1/toy' }, { err: /secret internals/ }])
})

void t.test('what cannot be read gets the problem that a body gets', async (t) => {
  const doubled = '{"apertureMm":80,"apertureMm":81,"sky":{"bortleClass":5}}'
  t.same(await problemOf(`{"path":"/v1/toy","request":${doubled}}`), (await post(app, doubled)).json())
  t.match(await problemOf('{"path":"/v1/toy","request":{},"request":{}}'), {
    type: '/problems/invalid-line',
    errors: [{ pointer: '/request', message: 'given twice; leave one of them out' }],
  })
  t.match(await problemOf('{"path":'), {
    type: '/problems/unreadable-request',
    status: 400,
    detail: 'The line is not JSON: at column 9 the text ends where a value is wanted.',
  })
  t.match(await problemOf('{} {}'), { detail: /^The line is not JSON: at column 4 / })
  const broken = Buffer.from(toyLine({ ...toyBody, label: '\u00fc' }), 'latin1')
  t.match(await problemOf(broken), { type: '/problems/unreadable-request', detail: 'The line is not UTF-8.' })
  const alone = { 'content-type': 'application/json' }
  const payload = Buffer.from(JSON.stringify({ ...toyBody, label: '\u00fc' }), 'latin1')
  const single = await app.inject({ method: 'POST', url: '/v1/toy', headers: alone, payload })
  t.match(single.json(), { status: 400, detail: 'The body is not UTF-8.' })
})

void t.test('a line is a path, a request and perhaps a name', async (t) => {
  const refused: [object | string, string[]][] = [
    [{ path: '/v1/toy', requst: {} }, ['/requst', '/request']],
    [{ path: 5, request: {} }, ['/path']],
    [{ path: '/v1/toy', request: {}, id: '' }, ['/id']],
    [{ path: '/v1/toy', request: {}, id: 'x'.repeat(101) }, ['/id']],
    [{ path: '/v1/batch', request: {} }, ['/path']],
    [{ path: '/v1/reference/toys', request: {} }, ['/path']],
    ['[]', ['']],
    ['7', ['']],
    ['null', ['']],
  ]
  for (const [line, pointers] of refused) {
    const text = typeof line === 'string' ? line : JSON.stringify(line)
    const problem = await problemOf(text)
    t.match(problem, { type: '/problems/invalid-line', status: 400 }, text)
    t.same([...(problem?.errors ?? [])].map(({ pointer }) => pointer).sort(), pointers.sort(), text)
  }
  t.match(await problemOf('{"path":"/v1/batch","request":{}}'), {
    errors: [{ message: '/v1/batch cannot be asked in a batch; ask it by itself' }],
  })
  t.match(await problemOf('{"path":"/v1/tou","request":{}}'), {
    status: 404,
    detail: 'No question has this path; did you mean /v1/toy?',
  })
  t.match(await problemOf('{"path":"/health/live","request":{}}'), { status: 404, detail: /\/docs lists them all/ })
  t.same((await ask('{"id":"mine","path":"/v1/toy"}')).lines[0]?.id, 'mine', 'a bad line keeps its name')
})

void t.test('lines end as they like, blank ones are passed over', async (t) => {
  const bodies: [string, number[]][] = [
    [`${GOOD}\n${GOOD}\n`, [1, 2]],
    [`${GOOD}\r\n${GOOD}`, [1, 2]],
    [`\n \t\r\n${GOOD}\n\n\n${GOOD}\n\r\n`, [3, 6]],
    [`\uFEFF${GOOD}`, [1]],
    [`${toyLine({ ...toyBody, label: 'a\u2028b\u2029c\u0085d' })}\n${GOOD}`, [1, 2]],
    [`${GOOD.replace(',', ',\r')}\n${GOOD}`, [1, 2]],
  ]
  for (const [body, numbers] of bodies) {
    const { lines } = await ask(body)
    t.same(
      lines.map(({ line, status }) => [line, status]),
      numbers.map((line) => [line, 200]),
      JSON.stringify(body.slice(0, 30)),
    )
  }
  for (const body of ['\n', '\r\n \n\n', '  ']) {
    const { response } = await ask(body)
    t.equal(response.statusCode, 200)
    t.equal(response.body, '', 'no question, no answer')
  }
  const { response } = await ask('')
  t.equal(response.statusCode, 400)
  t.equal(response.json<Problem>().detail, 'The body is empty; a question on each line is wanted.')
})

void t.test('a line that is too long spoils no other', async (t) => {
  const exact = toyLine(toyBody, { id: 'x' }).replace(/}$/, '')
  const fitting = `${exact}${' '.repeat(MOST_LINE_BYTES - exact.length - 1)}}`
  const { lines } = await ask([GOOD, 'x'.repeat(MOST_LINE_BYTES + 1), fitting, ' '.repeat(200_000), GOOD].join('\n'))
  t.same(
    lines.map(({ line, status }) => [line, status]),
    [
      [1, 200],
      [2, 413],
      [3, 200],
      [4, 413],
      [5, 200],
    ],
  )
  t.match(lines[1]?.problem, {
    type: '/problems/body-too-large',
    detail: 'The line may have 65536 bytes; ask a longer question by itself.',
  })
})

void t.test('ten thousand questions, bad ones scattered among them', async (t) => {
  let state = Number(process.env.FUZZ_SEED ?? 20261125)
  const chance = () => (state = (state * 16807) % 2147483647) / 2147483647
  const wanted: number[] = []
  const body = Array.from({ length: MOST_QUESTIONS }, (_, index) => {
    const isBad = chance() < 0.1
    wanted.push(isBad ? 400 : 200)
    return toyLine({ ...toyBody, apertureMm: isBad ? 'wide' : 10 + (index % 1000) }, { id: String(index) })
  })
  const { lines } = await ask(body.join('\n'))
  t.same(
    lines.map(({ status }) => status),
    wanted,
  )
  t.ok(lines.every(({ line, id }, index) => line === index + 1 && id === String(index)))
  t.ok(
    lines.every(
      ({ status, answer }, index) => status === 400 || (answer as ToyRequest).apertureMm === 10 + (index % 1000),
    ),
  )

  const { lines: more } = await ask([...body, '', '', GOOD, GOOD, GOOD].join('\n'))
  t.equal(more.length, MOST_QUESTIONS + 1)
  t.match(more.at(-1), {
    line: MOST_QUESTIONS + 3,
    status: 413,
    problem: {
      detail: 'A batch may have 10000 questions; this line and what follows it are not answered.',
    },
  })
})

void t.test('what HTTP asks of a batch', async (t) => {
  for (const type of ['application/x-ndjson', 'application/ndjson', 'application/jsonl; charset=utf-8']) {
    t.equal((await ask(GOOD, { 'content-type': type })).response.statusCode, 200, type)
  }
  for (const type of ['application/json', 'text/plain', 'application/x-ndjson; charset=latin1']) {
    const { response } = await ask(GOOD, { 'content-type': type })
    t.equal(response.statusCode, 415, type)
    t.equal(response.headers.accept, NDJSON)
  }
  t.equal((await ask(GOOD, { 'content-type': NDJSON, 'content-encoding': 'gzip' })).response.statusCode, 415)
  t.equal((await ask(GOOD, { 'content-type': NDJSON, accept: 'application/json' })).response.statusCode, 406)
  t.equal((await ask(GOOD, { 'content-type': NDJSON, accept: 'application/jsonl, text/*' })).response.statusCode, 200)
  const refusing = 'application/x-ndjson;q=0, application/jsonl'
  t.equal((await ask(GOOD, { 'content-type': NDJSON, accept: refusing })).response.statusCode, 200, refusing)
  t.equal((await post(app, toyBody, '/v1/batch')).statusCode, 415)
  const large = await ask(GOOD, { 'content-type': NDJSON, 'content-length': String(MOST_BATCH_BYTES + 1) })
  t.equal(large.response.statusCode, 413)
  const query = await app.inject({
    method: 'POST',
    url: '/v1/batch?a=1',
    headers: { 'content-type': NDJSON },
    payload: GOOD,
  })
  t.equal(query.statusCode, 400)
  const linked = await app.inject(`/v1/batch?request=${encodeURIComponent(GOOD)}`)
  t.equal(linked.statusCode, 405, 'a batch is no link')
  t.equal(linked.headers.allow, 'POST')
  t.equal((await ask(GOOD.replace('toy', 'toys'))).response.headers['cache-control'], 'no-store')
})

void t.test('every twenty questions count as one request', async (t) => {
  const { app: limited } = await testApp(t, { endpoints: toys, environment: { RATE_LIMIT_PER_MINUTE: '4' } })
  const send = async (count: number) => {
    const response = await limited.inject({
      method: 'POST',
      url: '/v1/batch',
      headers: { 'content-type': NDJSON },
      payload: `${GOOD}\n`.repeat(count),
      remoteAddress: '192.0.2.7',
    })
    return { response, lines: response.statusCode === 200 ? linesOf(response.body) : [] }
  }
  const short = await send(20)
  t.equal(short.lines.length, 20, 'one of four')
  t.equal((await send(40)).lines.length, 40, 'three of four')
  const { lines } = await send(100)
  t.same(
    lines.map(({ status }) => status),
    [...Array<number>(20).fill(200), 429].slice(-1),
    'the first lines would be more than is left',
  )
  t.match(lines[0], { line: 1, problem: { detail: /^4 requests a minute are allowed; wait \d+ seconds\.$/ } })
  t.equal((await send(1)).response.statusCode, 429)
})

void t.test('threads answer the same bytes as the event loop', async (t) => {
  const examples = endpoints.flatMap((endpoint) =>
    endpoint.kind === 'question'
      ? Object.values(endpoint.examples).map(({ request }) =>
          JSON.stringify({ path: endpoint.path, request: request as unknown }),
        )
      : [],
  )
  const payload = Array.from({ length: 4 }, () => [...examples, '{"path":'])
    .flat()
    .join('\n')
  const bodies: string[] = []
  for (const { port } of [await listening(t, [...endpoints]), await withThreads(t)]) {
    const response = await answerOf(open(port).end(payload))
    let body = ''
    response.setEncoding('utf8')
    for await (const chunk of response) body += String(chunk)
    bodies.push(body)
  }
  t.equal(bodies[1], bodies[0])
  t.equal(linesOf(bodies[0] ?? '').filter(({ status }) => status === 200).length, 4 * examples.length)
})

void t.test('the published examples are answered', async (t) => {
  const { app: real } = await testApp(t, { endpoints })
  const wanted: Record<string, number[]> = {
    'one-sky-four-members': [200, 200, 200, 200],
    'different-questions': [200, 200, 400],
  }
  const document = (await real.inject('/openapi.json')).json<{
    paths: Record<
      string,
      { post: { requestBody: { content: Record<string, { examples: Record<string, { value: string }> }> } } }
    >
  }>()
  const examples = document.paths['/v1/batch']?.post.requestBody.content[NDJSON]?.examples ?? {}
  t.same(Object.keys(examples), Object.keys(wanted))
  for (const [name, { value }] of Object.entries(examples)) {
    const headers = { 'content-type': NDJSON }
    const response = await real.inject({ method: 'POST', url: '/v1/batch', headers, payload: value })
    const lines = linesOf(response.body)
    t.same(
      lines.map(({ status }) => status),
      wanted[name],
      name,
    )
    t.ok(lines.every((line) => BatchAnswerLineSchema.safeParse(line).success))
  }
  const mistyped = linesOf(
    (
      await real.inject({
        method: 'POST',
        url: '/v1/batch',
        headers: { 'content-type': NDJSON },
        payload: examples['different-questions']?.value ?? '',
      })
    ).body,
  )[2]
  t.match(mistyped, { id: 'mistyped', problem: { errors: [{ pointer: '/camera/readNoiseElectron' }] } })
})
