// What README.md shows is what the service does: its first call, its table, its list of refusals.

import { readFileSync } from 'node:fs'
import t from 'tap'
import { ENGINE_ERRORS } from '../../src/engine/index.ts'
import { endpoints } from '../../src/routes/index.ts'
import { testApp } from '../support/app.ts'
import { adviceRows, adviceTable } from './advice-table.ts'
import { firstAnswer } from './first-answer.ts'

const readme = readFileSync('README.md', 'utf8')

void t.test('the table of advice is current', (t) => {
  t.ok(readme.includes(adviceTable()), `README.md holds:\n${adviceTable()}`)
  t.end()
})

void t.test('the first answer is current', (t) => {
  t.ok(readme.includes(firstAnswer()), `README.md holds:\n${firstAnswer()}`)
  t.end()
})

void t.test('the batch is answered as it stands', async (t) => {
  const lines = [...readme.matchAll(/^ {2}'(\{"path".*\})'/gm)].map(([, line]) => line ?? '')
  t.equal(lines.length, 2)
  const { app } = await testApp(t, { endpoints })
  const headers = { 'content-type': 'application/x-ndjson' }
  const { body } = await app.inject({ method: 'POST', url: '/v1/batch', headers, payload: lines.join('\n') })
  const answers = body
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as object)
  t.match(answers, [
    { line: 1, id: 'mine', status: 200 },
    { line: 2, status: 200 },
  ])
})

void t.test('every question and every refusal is listed', (t) => {
  for (const { kind, path } of endpoints) {
    if (kind !== 'reference') t.ok(readme.includes(`\`POST ${path}\``), path)
    else t.ok(readme.includes(`\`${path.split('/').at(-1) ?? ''}\``), path)
  }
  for (const code of Object.keys(ENGINE_ERRORS)) t.ok(readme.includes(`| \`${code}\` `), code)
  t.end()
})

void t.test('an experienced imager would nod (common practice, no source)', (t) => {
  for (const { member, filter, sky, subSeconds, limitedBy } of adviceRows()) {
    const [low, high] = expected(member, filter, sky)
    const what = `${member}, ${filter}, ${sky}: ${subSeconds} s`
    if (limitedBy === 'losses') t.ok(subSeconds >= low && subSeconds <= high, `${what} within ${low} to ${high} s`)
    else t.ok(subSeconds <= high, `${what}, cut by ${limitedBy}, at most ${high} s`)
  }
  t.end()
})

function expected(member: string, filter: string, sky: string): [number, number] {
  const dark = sky.startsWith('meadow')
  const narrow = filter !== 'broadband'
  if (member === 'old-ccd') {
    if (narrow) return [900, 1800]
    return dark ? [120, 900] : [30, 600]
  }
  if (narrow && dark) return [360, 900]
  return narrow || dark ? [120, 360] : [30, 180]
}
