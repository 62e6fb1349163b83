// Bodies that are too long, of another type, or cannot be read.

import t from 'tap'
import { ask, askCsv, filterOf, raw, SETUP, type Answer } from './session-account-logs.ts'

void t.test('only the account reads CSV, and it reads nothing else beside JSON', async (t) => {
  const elsewhere = await raw('/v1/noise-budget', 'startedAt,subSeconds', 'text/csv')
  t.equal(elsewhere.statusCode, 415)
  t.equal(elsewhere.headers.accept, 'application/json')
  const other = await raw('/v1/session-account', 'startedAt,subSeconds', 'text/plain')
  t.equal(other.statusCode, 415)
  t.equal(other.headers.accept, 'application/json, text/csv')
  t.match(other.body, 'The body must be application/json or text/csv in UTF-8.')
  const latin = await raw('/v1/session-account', 'startedAt,subSeconds', 'text/csv; charset=latin1')
  t.equal(latin.statusCode, 415)
  const alone = await raw('/v1/session-account', 'startedAt,subSeconds', 'text/csv')
  t.equal(alone.statusCode, 400)
  t.match(alone.body, 'The query parameter `request` is missing')
})

void t.test('a long log of nothing but bad lines names every one, and one line more is refused', async (t) => {
  const csv = `startedAt,subSeconds\n${'x,1\n'.repeat(100_000)}`
  const { answer } = await askCsv(SETUP, csv)
  t.equal(answer.log.badLineCount, 100_000)
  t.equal(answer.log.badLines.length, 200)
  t.equal(answer.log.furtherBadLines.length, 99_800)
  t.same(answer.log.furtherBadLines.slice(0, 2), [202, 203])
  t.equal(answer.explanation[0], 'No line of the log can be used; `log.badLines` says why.')
  const inCsv = await askCsv(SETUP, `${csv}x,1\n`)
  t.equal(inCsv.status, 400)
  t.same(inCsv.errors, ['/subs: more than 100000 lines given; send them in parts'])
  const inJson = await ask({ ...SETUP, subs: Array<number>(100_001).fill(1) })
  t.equal(inJson.status, 400)
  t.same(inJson.errors, ['/subs: more than 100000 lines given; send them in parts'])
})

void t.test('bytes that are no UTF-8, a body out of all proportion, and broken JSON are refused', async (t) => {
  const url = `/v1/session-account?request=${encodeURIComponent(JSON.stringify(SETUP))}`
  const latin = await raw(
    url,
    Buffer.from('startedAt,subSeconds,rejectedFor\n2026-11-21T19:40:00Z,120,N\xfcsse', 'latin1'),
    'text/csv',
  )
  t.equal(latin.statusCode, 200)
  t.same(latin.json<Answer>().log.badLines, [{ line: 2, message: 'the line is not UTF-8' }])
  const inJson = await raw('/v1/session-account', Buffer.from('{"subs":["\xfc"]}', 'latin1'), 'application/json')
  t.equal(inJson.statusCode, 400)
  t.match(inJson.body, 'The body is not UTF-8.')
  const umlaut = await askCsv(SETUP, 'startedAt,subSeconds,rejectedFor,accepted\n2026-11-21T19:40:00Z,120,Nässe,0')
  t.equal(filterOf(umlaut.answer).rejectedFor[0]?.reason, 'Nässe')
  const huge = await raw(url, ' '.repeat(33 * 1024 * 1024), 'text/csv')
  t.equal(huge.statusCode, 413)
  t.match(huge.body, 'The body may have 33554432 bytes.')
  const broken = await raw('/v1/session-account', '{"subs":[{},\n{"startedAt":}]}', 'application/json')
  t.equal(broken.statusCode, 400)
  t.match(broken.body, 'at line 2, column 14 \\"}\\" stands where a value is wanted')
  const twice = await raw('/v1/session-account', '{"subs":[{},{"subSeconds":1,"subSeconds":2}]}', 'application/json')
  t.match(twice.json(), { status: 400, errors: [{ pointer: '/subs/1/subSeconds', message: /given twice/ }] })
})

async function bad(csv: string) {
  const { answer } = await askCsv(SETUP, csv)
  return { answer, said: answer.log.badLines.map(({ line, message }) => `${line}: ${message}`) }
}

void t.test('one cell, bytes that are no UTF-8, and no header row are named for what they are', async (t) => {
  t.match((await bad('startedAt,subSeconds\n2026-11-21T19:40:00Z')).said, [
    '2: 1 cell given; wanted: 2, as in the header',
  ])
  const { answer, said } = await bad(
    'startedAt,subSeconds,rejectedFor\n2026-11-21T19:40:00Z,120,N\uFFFDsse\n2026-11-21T19:43:00Z,120,',
  )
  t.match(said, ['2: the line is not UTF-8'])
  t.equal(filterOf(answer).subCount, 1, 'the rest is accounted')
  const { status, errors } = await askCsv(SETUP, '2026-11-21T19:40:00Z,120\n')
  t.equal(status, 400)
  t.match(errors, [/header row is missing; wanted: a first line that names the columns, such as startedAt,subSeconds/])
})
