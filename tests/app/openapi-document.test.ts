import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import t from 'tap'
import { openapiDocument } from '../../src/openapi-document.ts'

const script = fileURLToPath(new URL('../../src/openapi-document.js', import.meta.url))

void t.test('the document is the same each time, and the script writes it to a file', async (t) => {
  const text = await openapiDocument()
  t.equal(await openapiDocument(), text)
  t.match(JSON.parse(text), { openapi: '3.1.1' })
  const file = join(t.testdir(), 'openapi.json')
  await promisify(execFile)(process.execPath, [script, file])
  t.equal(await readFile(file, 'utf8'), text)
  await t.rejects(promisify(execFile)(process.execPath, [script]), { code: 2, stderr: /^usage: / })
})
