import { once } from 'node:events'
import { request, type IncomingMessage } from 'node:http'
import { buffer } from 'node:stream/consumers'
import t from 'tap'
import { closeWithin } from '../../src/plugins/draining.ts'
import { batch } from '../../src/routes/batch/index.ts'
import { testApp, toyEndpoints } from '../support/app.ts'
import { listen } from '../support/socket.ts'

void t.test('a request that takes longer than a stopping service waits is cut', async (t) => {
  const { app } = await testApp(t, { endpoints: [...toyEndpoints, batch] })
  const port = await listen(app)
  const headers = { 'content-type': 'application/x-ndjson' }
  const asked = request({ host: '127.0.0.1', port, path: '/v1/batch', method: 'POST', agent: false, headers })
  asked.on('error', () => undefined)
  asked.write('{}\n')
  const [response] = (await once(asked, 'response')) as [IncomingMessage]
  const read = buffer(response)
  await closeWithin(app, 200)
  await t.rejects(read)
})
