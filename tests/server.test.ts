import { spawn, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { request, type ClientRequest, type IncomingMessage } from 'node:http'
import { createServer, type AddressInfo } from 'node:net'
import { fileURLToPath } from 'node:url'
import t, { type Test } from 'tap'

const script = fileURLToPath(new URL('../src/server.js', import.meta.url))

interface Run {
  child: ChildProcess
  output: () => string
  errors: () => string
  /** Exit code, once the process has ended. */
  ended: Promise<number | null>
}

function run(t: Test, environment: Record<string, string>, flags: string[] = []): Run {
  const child = spawn(process.execPath, [...flags, script], { env: { ...process.env, ...environment } })
  let output = ''
  let errors = ''
  child.stdout.on('data', (chunk) => (output += String(chunk)))
  child.stderr.on('data', (chunk) => (errors += String(chunk)))
  const ended = once(child, 'close').then(([code]) => code as number | null)
  t.teardown(() => child.kill('SIGKILL'))
  return { child, output: () => output, errors: () => errors, ended }
}

async function until<T>(what: string, found: () => T | undefined | Promise<T | undefined>): Promise<T> {
  for (let tries = 0; tries < 600; tries++) {
    const result = await found()
    if (result !== undefined) return result
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
  throw new Error(`waited in vain for ${what}`)
}

const portOf = (service: Run) =>
  until('the address', () => {
    const port = /answers at http:\/\/127\.0\.0\.1:(\d+) /.exec(service.output())?.[1]
    return port === undefined ? undefined : Number(port)
  })

const responseTo = async (asked: ClientRequest) => {
  const [response] = (await once(asked, 'response')) as [IncomingMessage]
  response.resume()
  await once(response, 'end')
  return response
}

const get = (port: number, path: string) =>
  responseTo(request({ port, host: '127.0.0.1', path, agent: false }).end()).then(({ statusCode }) => statusCode)

void t.test('the service says where it answers, and stops when it is told to', { timeout: 60_000 }, async (t) => {
  const service = run(t, { PORT: '0', LOG_LEVEL: 'info' })
  const port = await portOf(service)
  t.equal(await get(port, '/health/ready'), 200)
  service.child.kill('SIGINT')
  t.equal(await service.ended, 0)
  t.match(service.output(), /"route":"\/health\/ready","status":200/, 'the log is written to the end')
  t.equal(service.errors(), '')
})

void t.test('what building the service leaves behind is collected before it serves', { timeout: 60_000 }, async (t) => {
  const service = run(t, { PORT: '0', LOG_LEVEL: 'silent' }, ['--trace-gc'])
  await portOf(service)
  t.match(service.output(), /Mark-Compact.* low memory notification[^]*answers at/)
})

void t.test('a stopping service is not ready, and answers what is under way', { timeout: 60_000 }, async (t) => {
  const service = run(t, { PORT: '0', LOG_LEVEL: 'silent', DRAIN_SECONDS: '2' })
  const port = await portOf(service)
  const headers = { 'content-type': 'application/json', 'content-length': 2 }
  const underWay = request({ port, host: '127.0.0.1', path: '/no-such-path', method: 'POST', headers, agent: false })
  underWay.write('{')
  t.equal(await get(port, '/health/live'), 200)
  service.child.kill('SIGTERM')
  const status = await until('a failing readiness', async () => {
    const found = await get(port, '/health/ready')
    return found === 200 ? undefined : found
  })
  t.equal(status, 503)
  underWay.end('}')
  const response = await responseTo(underWay)
  t.equal(response.statusCode, 404)
  t.equal(response.headers.connection, 'close')
  t.equal(await service.ended, 0)
  await t.rejects(get(port, '/health/live'), { code: 'ECONNREFUSED' })
})

void t.test('a setting that cannot be used ends the start with one line', { timeout: 60_000 }, async (t) => {
  const service = run(t, { PORT: 'http' })
  t.equal(await service.ended, 1)
  t.equal(service.errors(), 'Cannot start: PORT is "http"; allowed: a whole number from 0 to 65535.\n')
  t.equal(service.output(), '')
})

void t.test('a port that is taken ends the start with one line', { timeout: 60_000 }, async (t) => {
  const other = createServer().listen(0, '127.0.0.1')
  await once(other, 'listening')
  t.teardown(() => other.close())
  const { port } = other.address() as AddressInfo
  const service = run(t, { PORT: String(port) })
  t.equal(await service.ended, 1)
  t.match(service.errors(), new RegExp(`^Cannot listen on 127\\.0\\.0\\.1:${port}: .*EADDRINUSE.*\\n$`))
})
