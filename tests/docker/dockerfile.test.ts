import { readFileSync } from 'node:fs'
import t from 'tap'

interface Instruction {
  name: string
  value: string
}

/** The Dockerfile's instructions in order, comments gone and continued lines joined. */
function instructions(): Instruction[] {
  const lines = readFileSync('Dockerfile', 'utf8').split('\n')
  return lines
    .filter((line) => !line.trimStart().startsWith('#'))
    .join('\n')
    .replaceAll('\\\n', ' ')
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => {
      const [name = '', ...rest] = line.trim().split(/\s+/)
      return { name, value: rest.join(' ') }
    })
}

const all = instructions()
const lastStage = all.slice(all.findLastIndex(({ name }) => name === 'FROM'))

function values(name: string, among = all): string[] {
  return among.filter((it) => it.name === name).map(({ value }) => value)
}

void t.test('every stage starts from the one base image, which is an argument', (t) => {
  t.strictSame(values('ARG', all.slice(0, 1)), ['NODE_IMAGE=node:24-bookworm-slim'])
  t.strictSame(values('FROM'), ['${NODE_IMAGE} AS packages', '${NODE_IMAGE} AS build', '${NODE_IMAGE}'])
  t.end()
})

void t.test('no image is named by a moving tag', (t) => {
  t.notMatch(JSON.stringify(all), /:latest/)
  t.end()
})

void t.test('packages come from the lock file', (t) => {
  t.strictSame(values('RUN'), ['npm ci --omit=dev', 'npm ci', 'npm run build'])
  t.end()
})

void t.test('the image runs as a numeric user that is not root', (t) => {
  t.strictSame(values('USER', lastStage), ['1000:1000'])
  t.strictSame(
    values('COPY', lastStage).filter((copy) => copy.includes('--chown')),
    [],
    'what it runs belongs to root',
  )
  t.end()
})

void t.test('the server is started without a shell and stopped by SIGTERM', (t) => {
  t.strictSame(values('CMD', lastStage).map(parsed), [['node', 'dist/server.js']])
  t.strictSame(values('ENTRYPOINT'), [])
  t.strictSame(values('STOPSIGNAL', lastStage), ['SIGTERM'])
  t.end()
})

void t.test('the health check runs a script of the image, without a shell', (t) => {
  const [check = '', ...others] = values('HEALTHCHECK', lastStage)
  t.strictSame(others, [])
  t.strictSame(parsed(check.replace(/^(--\S+ )*CMD /, '')), ['node', 'health-check.mjs'])
  t.end()
})

void t.test('the environment is that of production, on every address of the container', (t) => {
  t.strictSame(values('ENV', lastStage), ['NODE_ENV=production HOST=0.0.0.0 PORT=8080'])
  t.strictSame(values('EXPOSE', lastStage), ['8080'])
  t.end()
})

void t.test('only syntax that older builders understand too', (t) => {
  for (const { name, value } of all) {
    t.notMatch(`${name} ${value}`, /^COPY .*--(link|exclude|parents)|<<|^RUN --network|--start-interval/)
  }
  t.end()
})

function parsed(command: string): unknown {
  return JSON.parse(command)
}
