// The scripts for the telescope: a night's rehearsal against the service, and what they do when something is wrong.

import { spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer, text } from 'node:stream/consumers'
import t, { type Test } from 'tap'
import { endpoints } from '../../src/routes/index.ts'
import { testApp } from '../support/app.ts'
import { listen } from '../support/socket.ts'

/** What each script runs by, its own program first. */
const NEEDS = { shell: ['sh', 'curl', 'awk'], python: ['python3'] } as const

const SCRIPTS = {
  shell: ['sh', 'openapi/examples/capture-loop.sh'],
  python: ['python3', 'openapi/examples/capture_loop.py'],
} as const

interface Ended {
  code: number | null
  output: string
  errors: string
}

async function run(
  language: keyof typeof SCRIPTS,
  port: number,
  settings: Record<string, string> = {},
): Promise<Ended> {
  const [command, script] = SCRIPTS[language]
  const env = { ...process.env, PHOTON_LEDGER: `http://127.0.0.1:${port}`, ...settings }
  const child = spawn(command, [script], { env, stdio: ['ignore', 'pipe', 'pipe'] })
  const [output, errors] = await Promise.all([text(child.stdout), text(child.stderr), once(child, 'close')])
  return { code: child.exitCode, output, errors }
}

interface Reply {
  status?: number
  retryAfter?: string
  body: object
}

const PLAN: Reply = { body: { recommended: { subSeconds: 120 } } }
const REASON = 'All is "well": go on.'
const check = (action: string): Reply => ({
  body: { action, subSeconds: 120, reason: REASON, tryAgainAt: null, filters: [{ subSeconds: 1 }] },
})

/** A server that gives the replies in turn, the last one for ever; none at all means that it never answers. */
async function replying(t: Test, replies: readonly Reply[]) {
  const asked: { path: string; question: { subs?: object[] } }[] = []
  const reply = async (request: IncomingMessage, response: ServerResponse) => {
    const question = JSON.parse(String(await buffer(request))) as { subs?: object[] }
    const answer = replies[Math.min(asked.length, replies.length - 1)]
    asked.push({ path: request.url ?? '', question })
    if (answer === undefined) return
    const { status = 200, retryAfter, body } = answer
    if (retryAfter !== undefined) response.setHeader('retry-after', retryAfter)
    response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body))
  }
  const server = createServer((request, response) => void reply(request, response))
  t.teardown(() => {
    server.closeAllConnections()
    server.close()
  })
  await once(server.listen(0, '127.0.0.1'), 'listening')
  return { port: (server.address() as AddressInfo).port, asked }
}

const languages = Object.keys(SCRIPTS) as (keyof typeof SCRIPTS)[]

const missingFor = (language: keyof typeof SCRIPTS) =>
  NEEDS[language].filter((program) => spawnSync('sh', ['-c', `command -v ${program}`]).status !== 0)

for (const language of languages) {
  const missing = missingFor(language)
  if (missing.length > 0) {
    void t.test(`${language}: not run`, { skip: `no ${missing.join(' and no ')} here` }, () => undefined)
    continue
  }

  void t.test(`${language}: a night from plan to finish`, async (t) => {
    const { app } = await testApp(t, { endpoints })
    const { code, output, errors } = await run(language, await listen(app))
    t.equal(errors, '')
    t.equal(code, 0)
    const [plan = '', ...subs] = output.trimEnd().split('\n')
    t.match(plan, /^plan: subs of (60|120|180|300|600) s$/)
    const actions = subs.map((line) => /sub \d+: ([a-z]+), next \d+ s\. [A-Z].+\.$/.exec(line)?.[1])
    t.equal(actions.at(-1), 'finish')
    t.same(new Set(actions.slice(0, 4)), new Set(['keep']), 'a clear sky is left alone')
    t.ok(actions.slice(4, 8).includes('pause'), `thick cloud from the fifth sub: ${actions.slice(4, 8).join()}`)
    t.equal(actions[12], 'keep', 'on again under a clear sky')
    t.ok(subs.length > 8 && subs.length < 200, `${subs.length} subs`)
  })

  void t.test(`${language}: waits when it is asked to`, async (t) => {
    const busy = { status: 503, retryAfter: '0', body: {} }
    const often = { status: 429, retryAfter: '1', body: {} }
    const { port, asked } = await replying(t, [often, PLAN, check('keep'), busy, busy, check('finish')])
    const { code, output, errors } = await run(language, port)
    t.equal(errors, '')
    t.equal(code, 0)
    t.same(
      asked.map(({ path, question }) => [path, question.subs?.length]),
      [
        ['/v1/sub-exposure', undefined],
        ['/v1/sub-exposure', undefined],
        ['/v1/session-check', 1],
        ['/v1/session-check', 2],
        ['/v1/session-check', 2],
        ['/v1/session-check', 2],
      ],
    )
    t.match(output, `sub 2: finish, next 120 s. ${REASON}`)
  })

  void t.test(`${language}: says which field is bad, and ends`, async (t) => {
    const errors = [
      { pointer: '/camera/readNoiseElectron', message: 'unknown field' },
      { pointer: '/sky', message: 'missing' },
    ]
    const { port, asked } = await replying(t, [{ status: 400, body: { detail: 'Two things are wrong.', errors } }])
    const ended = await run(language, port)
    t.equal(ended.code, 1)
    t.equal(asked.length, 1, 'a refusal is not asked again')
    t.equal(
      ended.errors,
      '/v1/sub-exposure refused (400): Two things are wrong.\n  /camera/readNoiseElectron: unknown field\n  /sky: missing\n',
    )
  })

  void t.test(`${language}: never waits or takes subs for ever`, async (t) => {
    const silent = await replying(t, [])
    const unanswered = await run(language, silent.port, { TIMEOUT_SECONDS: '1', MOST_RETRIES: '0' })
    t.equal(unanswered.code, 1)
    t.match(unanswered.errors, `no answer from http://127.0.0.1:${silent.port}/v1/sub-exposure: `)
    const keeping = await replying(t, [PLAN, check('keep')])
    t.equal((await run(language, keeping.port, { MOST_SUBS: '3' })).code, 3)
    t.equal(keeping.asked.length, 4)
    const pausing = await replying(t, [PLAN, check('pause')])
    t.equal((await run(language, pausing.port, { MOST_PAUSES: '2' })).code, 3)
    t.equal(pausing.asked.length, 4)
    const odd = await replying(t, [PLAN, check('dance')])
    t.match(await run(language, odd.port), { code: 1, errors: 'cannot tell what "dance" means\n' })
    const page = await replying(t, [{ status: 502, body: ['<html>'] }])
    t.equal((await run(language, page.port, { MOST_RETRIES: '0' })).code, 1)
  })
}
