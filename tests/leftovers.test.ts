import { spawnSync } from 'node:child_process'
import t from 'tap'

/** Keeps 80 MB, collects what is left behind, and keeps 60 MB more. */
const GROWING = `
  import { collectLeftovers } from '${new URL('../src/leftovers.js', import.meta.url).href}'
  const kept = []
  const keep = (megabytes) => {
    for (let count = 0; count < 2.5 * megabytes; count++) kept.push(Array.from({ length: 10_000 }, (_, index) => ({ index })))
  }
  keep(80)
  await collectLeftovers()
  process.stdout.write('collected\\n')
  keep(60)
  process.stdout.write(\`grown \${kept.length}\\n\`)
`

void t.test(
  'once leftovers are collected the heap may grow without being collected again',
  { timeout: 60_000 },
  (t) => {
    const { stdout } = spawnSync(process.execPath, ['--trace-gc', '--input-type=module', '--eval', GROWING], {
      encoding: 'utf8',
    })
    const [before = '', after = ''] = stdout.split('collected\n')
    t.match(before, /Mark-Compact.* low memory notification/)
    t.match(after, /Scavenge[^]*grown 350/)
    t.notMatch(after, 'Mark-Compact')
    t.end()
  },
)
