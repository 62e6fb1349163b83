// The document that is committed, published and validated against is one and the same, and says what a newcomer needs.

import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import t from 'tap'
import { openapiDocument } from '../../src/openapi-document.ts'
import { endpoints } from '../../src/routes/index.ts'

interface Operation {
  operationId: string
  summary?: string
  description?: string
  requestBody?: { content: Record<string, { examples?: Record<string, { value: unknown }> }> }
  parameters?: { name: string }[]
  responses: Record<string, unknown>
}

interface Document {
  openapi: string
  paths: Record<string, Record<string, Operation>>
  components: { schemas: Record<string, unknown> }
}

const text = await openapiDocument()
const document = JSON.parse(text) as Document

void t.test('the committed document is the generated one', (t) => {
  t.equal(readFileSync('openapi/openapi.json', 'utf8'), text, 'run `npm run openapi` and commit its result')
  t.end()
})

void t.test('the documentation page has something to show', (t) => {
  t.notOk(text.includes(String(Number.MAX_SAFE_INTEGER)), 'no bound that is none')
  const batch = document.paths['/v1/batch']?.post?.requestBody?.content['application/x-ndjson']
  t.notMatch(batch, { schema: { contentMediaType: String } }, 'it would ask for a file in place of an example')
  t.ok(Object.keys(batch?.examples ?? {}).length >= 2)
  t.end()
})

void t.test('a stock ruleset finds nothing', (t) => {
  const linter = join('node_modules', '@stoplight', 'spectral-cli', 'dist', 'index.js')
  const args = [linter, 'lint', 'openapi/openapi.json', '--fail-severity', 'hint', '--quiet', '--format', 'text']
  t.doesNotThrow(() => execFileSync(process.execPath, args, { encoding: 'utf8', stdio: 'pipe' }))
  t.end()
})

void t.test('every operation is described, and every question has two examples and a link', (t) => {
  for (const [path, operations] of Object.entries(document.paths)) {
    for (const [method, operation] of Object.entries(operations)) {
      t.ok(operation.summary, `${method} ${path} has a summary`)
      t.ok((operation.description ?? '').length > 40, `${method} ${path} has a description`)
    }
  }
  for (const endpoint of endpoints) {
    const operations = document.paths[endpoint.path]
    if (endpoint.kind !== 'question') continue
    const examples = operations?.post?.requestBody?.content['application/json']?.examples ?? {}
    t.ok(Object.keys(examples).length >= 2, `${endpoint.path} has two examples`)
    t.equal(operations?.get?.parameters?.[0]?.name, 'request', `${endpoint.path} is a link too`)
  }
  t.end()
})

void t.test('every number of a request has a unit and a range', (t) => {
  const lacking: string[] = []
  const visit = (node: unknown, where: string): void => {
    if (typeof node !== 'object' || node === null) return
    const schema = node as Record<string, unknown>
    if ((schema.type === 'number' || schema.type === 'integer') && schema.const === undefined) {
      if (schema.minimum === undefined || schema.maximum === undefined || schema['x-unit'] === undefined) {
        lacking.push(where)
      }
    }
    for (const [key, child] of Object.entries(schema)) visit(child, `${where}/${key}`)
  }
  for (const [name, schema] of Object.entries(document.components.schemas)) {
    if (/Answer|Problem|Reference/.test(name)) continue
    if (['Camera', 'Optics', 'Filter', 'Sky', 'Target', 'Plan', 'Goal', 'Curve', 'ReadMode'].includes(name)) {
      visit(schema, name)
    }
  }
  t.same(lacking, [])
  t.end()
})
