import { readFileSync } from 'node:fs'
import t from 'tap'

const lines = readFileSync('docker/compose.yaml', 'utf8')
  .split('\n')
  .filter((line) => !line.trimStart().startsWith('#'))

/** The lines below a key of the service, without their indentation. */
function listed(key: string): string[] {
  const start = lines.indexOf(`    ${key}:`) + 1
  t.not(start, 0, `${key} is there`)
  const end = lines.findIndex((line, index) => index >= start && !line.startsWith('      '))
  return lines.slice(start, end).map((line) => line.trim())
}

function setting(key: string): string | undefined {
  return lines.find((line) => line.startsWith(`    ${key}: `))?.slice(`    ${key}: `.length)
}

void t.test('the service can write nothing and has no privilege', (t) => {
  t.equal(setting('read_only'), 'true')
  t.strictSame(listed('cap_drop'), ['- ALL'])
  t.strictSame(listed('security_opt'), ['- no-new-privileges:true'])
  t.notMatch(lines.join('\n'), /privileged|cap_add|volumes/)
  t.end()
})

void t.test('memory, processes and logs are bounded', (t) => {
  t.match(setting('mem_limit'), /^\d+[mg]$/)
  t.match(setting('pids_limit'), /^\d+$/)
  t.ok(listed('logging').some((line) => /^max-size: \d+m$/.test(line)))
  t.end()
})

void t.test('it is reached from its own machine only, and comes back after a crash', (t) => {
  t.strictSame(listed('ports'), ["- '127.0.0.1:8080:8080'"])
  t.equal(setting('restart'), 'unless-stopped')
  t.end()
})

void t.test('it is built here, under a tag that does not move, with the health check of the image', (t) => {
  t.ok(listed('build').includes('context: ..'))
  t.equal(setting('image'), 'photon-ledger:local')
  t.notMatch(lines.join('\n'), /healthcheck|:latest/)
  t.end()
})

void t.test('no client is trusted to name its own address unless the club says so', (t) => {
  t.notMatch(listed('environment').join('\n'), /TRUST_PROXY/)
  t.match(listed('environment').join('\n'), /^RATE_LIMIT_PER_MINUTE: '\d+'$/m)
  t.end()
})
