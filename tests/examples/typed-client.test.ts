// The typed client: types made from the published document, the example compiled with them as strictly as the compiler
// can, and run against the service.

import { execFile } from 'node:child_process'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { promisify } from 'node:util'
import openapiTS, { astToString } from 'openapi-typescript'
import t from 'tap'
import typescript from 'typescript'
import { endpoints } from '../../src/routes/index.ts'
import { testApp } from '../support/app.ts'
import { listen } from '../support/socket.ts'

const FOLDER = join('.build', 'typed-client')
const { app } = await testApp(t, { endpoints })
const port = await listen(app)

mkdirSync(FOLDER, { recursive: true })
const types = astToString(await openapiTS((await app.inject('/openapi.json')).body))
writeFileSync(join(FOLDER, 'photon-ledger.d.ts'), types)

const asking = (body: string, use: string) => `
  import createClient from 'openapi-fetch'
  import type { components, paths } from './photon-ledger.d.ts'
  const client = createClient<paths>()
  const body: components['schemas']['SubExposureRequest'] = ${body}
  const { data, error } = await client.POST('/v1/sub-exposure', { body })
  export const used: string | undefined = ${use}
`
const GOOD = '{ camera: { readNoiseElectrons: 1.6 }, sky: { electronsPerPixelSecond: 1 } }'
const POINTER = 'error?.errors?.[0]?.pointer'

/** Modules with what the compiler has to say of each. */
const sources: Record<string, [source: string, complaint: RegExp]> = {
  'typed-client.ts': [readFileSync('openapi/examples/typed-client.ts', 'utf8'), /^$/],
  'good.ts': [asking(GOOD, POINTER), /^$/],
  'misspelt.ts': [asking(GOOD.replace('Electrons:', 'Electron:'), POINTER), /'readNoiseElectron' does not exist/],
  'a-text.ts': [asking(GOOD.replace('1.6', '"low"'), POINTER), /Type 'string' is not assignable/],
  'no-sky.ts': [asking(GOOD.replace(/, sky.*/, ' }'), POINTER), /Property 'sky' is missing/],
  'unknown-band.ts': [asking(GOOD.replace('1 }', '1 }, filter: { band: "purple" }'), POINTER), /purple/],
  'a-number.ts': [asking(GOOD, 'data?.recommended.subSeconds'), /'number' is not assignable/],
  'no-such-answer.ts': [asking(GOOD, 'data?.recommended.minutes'), /'minutes' does not exist/],
}

/** Compiles all of them; returns the complaints about each. */
function compile(): Map<string, string> {
  const names = Object.keys(sources)
  for (const [name, [source]] of Object.entries(sources)) writeFileSync(join(FOLDER, name), source)
  const program = typescript.createProgram(
    names.map((name) => join(FOLDER, name)),
    {
      target: typescript.ScriptTarget.ES2023,
      lib: ['lib.es2023.d.ts', 'lib.dom.d.ts', 'lib.dom.iterable.d.ts'],
      module: typescript.ModuleKind.NodeNext,
      moduleResolution: typescript.ModuleResolutionKind.NodeNext,
      types: ['node'],
      strict: true,
      exactOptionalPropertyTypes: true,
      noUncheckedIndexedAccess: true,
      skipLibCheck: true,
    },
  )
  program.emit()
  const complaints = new Map(names.map((name) => [name, '']))
  for (const { file, messageText } of typescript.getPreEmitDiagnostics(program)) {
    const name = basename(file?.fileName ?? '')
    complaints.set(name, `${complaints.get(name) ?? ''}${typescript.flattenDiagnosticMessageText(messageText, ' ')} `)
  }
  return complaints
}

writeFileSync(join(FOLDER, 'package.json'), '{"type":"module"}')
const complaints = compile()

void t.test('the compiler takes what the service takes, and finds what it would refuse', (t) => {
  t.same([...complaints.keys()], Object.keys(sources), 'no complaint about anything else')
  for (const [name, [, complaint]] of Object.entries(sources)) t.match(complaints.get(name), complaint, name)
  t.end()
})

void t.test('the example runs', async (t) => {
  const { stdout } = await promisify(execFile)(process.execPath, [join(FOLDER, 'typed-client.js')], {
    env: { ...process.env, PHOTON_LEDGER: `http://127.0.0.1:${port}` },
  })
  const lines = stdout.trimEnd().split('\n')
  t.match(lines[0], /^advice: \d+ subs of \d+ s, limited by losses$/)
  t.match(lines[1], /^budget: [a-z]+ makes most of the noise$/)
  t.match(lines[2], /^bands: \d+$/)
  t.match(lines[3], /^refusal: 400 \/camera\/readNoiseElectrons: -1 given/)
  t.match(lines[4], /^ {2}\/camera\/readNoiseElectrons: -1 given/)
  t.same(lines.slice(5), ['class 4: answered', 'class 5: answered', 'class 6: answered'])
})
