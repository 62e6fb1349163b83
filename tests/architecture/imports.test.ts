// Imports point one way: server → app → streamed → routes, plugins → setup → contract → engine, and the engine imports only itself.

import { cruise, type ICruiseResult, type IForbiddenRuleType } from 'dependency-cruiser'
import t from 'tap'

const LAYERS = ['engine', 'contract', 'fits', 'frames', 'setup', 'routes', 'plugins', 'streamed'] as const

const only = (from: string, allowed: string): IForbiddenRuleType => ({
  name: `${from} imports only ${allowed}`,
  severity: 'error',
  from: { path: `^src/${from}/` },
  to: { path: '^src/', pathNot: allowed },
})

const RULES: IForbiddenRuleType[] = [
  {
    name: 'the engine imports only itself',
    severity: 'error',
    from: { path: '^src/engine/' },
    to: { pathNot: '^src/engine/' },
  },
  {
    name: 'the engine is entered by its door',
    severity: 'error',
    from: { pathNot: '^src/engine/' },
    to: { path: '^src/engine/', pathNot: '^src/engine/index\\.ts$' },
  },
  only('contract', '^src/(contract|engine)/'),
  only('fits', '^src/fits/'),
  only('frames', '^src/(frames|fits|engine)/'),
  only('setup', '^src/(setup|contract|engine)/|^src/version\\.ts$'),
  only('routes', '^src/(routes|setup|contract|engine|frames|fits)/'),
  only('plugins', '^src/(plugins|contract|engine)/|^src/routes/endpoint\\.ts$|^src/(config|version)\\.ts$'),
  only('streamed', '^src/(streamed|plugins|frames|fits|contract|setup)/|^src/routes/endpoint\\.ts$'),
  { name: 'no circles', severity: 'error', from: {}, to: { circular: true } },
]

async function violations(root: string, rules: IForbiddenRuleType[]): Promise<{ modules: string[]; broken: string[] }> {
  const { output } = await cruise(
    [root],
    {
      ruleSet: { forbidden: rules },
      validate: true,
      tsPreCompilationDeps: true,
      doNotFollow: { path: 'node_modules' },
      exclude: { path: '\\.d\\.ts$' },
    },
    { extensions: ['.ts'] },
  )
  const result = output as ICruiseResult
  return {
    modules: result.modules.map(({ source }) => source),
    broken: result.summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} → ${to}`),
  }
}

void t.test('imports point one way', async (t) => {
  const { modules, broken } = await violations('src', RULES)
  for (const layer of LAYERS) {
    t.ok(
      modules.some((source) => source.startsWith(`src/${layer}/`)),
      `modules of ${layer} were seen`,
    )
  }
  t.same(broken, [])
})

void t.test('the guard fails when a rule is broken', async (t) => {
  const upsideDown = { ...only('routes', '^src/routes/'), name: 'routes import only routes' }
  const { broken } = await violations('src', [upsideDown])
  t.ok(
    broken.some((line) => line.includes('src/contract/')),
    'routes are seen to import the contract',
  )
})
