// Every example that the document publishes runs, as a POST and as a link, and both answer the same bytes.

import t from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { endpoints } from '../../src/routes/index.ts'

const app = await buildApp({ endpoints, config: readConfig({ LOG_LEVEL: 'silent' }) })
t.teardown(() => app.close())

for (const endpoint of endpoints) {
  if (endpoint.kind === 'reference') {
    void t.test(`GET ${endpoint.path}`, async (t) => {
      const response = await app.inject(endpoint.path)
      t.equal(response.statusCode, 200)
      t.match(response.headers.etag, /^"/)
      const again = await app.inject({ url: endpoint.path, headers: { 'if-none-match': response.headers.etag } })
      t.equal(again.statusCode, 304)
    })
    continue
  }
  // Frames and batches have tests of their own: their examples are files.
  if (endpoint.kind === 'upload' || endpoint.kind === 'batch') continue
  for (const [name, { request }] of Object.entries(endpoint.examples)) {
    void t.test(`${endpoint.path}: ${name}`, async (t) => {
      const posted = await app.inject({ method: 'POST', url: endpoint.path, payload: request as object })
      t.equal(posted.statusCode, 200, posted.body.slice(0, 400))
      const query = `request=${encodeURIComponent(JSON.stringify(request))}`
      const linked = await app.inject(`${endpoint.path}?${query}`)
      t.equal(linked.statusCode, 200)
      t.equal(linked.body, posted.body)
      const again = await app.inject({
        url: `${endpoint.path}?${query}`,
        headers: { 'if-none-match': linked.headers.etag },
      })
      t.equal(again.statusCode, 304)
      const answer = posted.json<{ explanation: string[]; cautions: string[]; model: { sources: string[] } }>()
      t.ok(answer.explanation.length > 0)
      for (const sentence of [...answer.explanation, ...answer.cautions]) {
        t.match(sentence, /^[A-Z0-9“].*[.]$/, sentence)
        t.notMatch(sentence, /NaN|Infinity|undefined|null/, sentence)
      }
    })
  }
}
