// Subs that are written as programs write them are taken straight from the text of a body. What comes of it has to be what
// JSON.parse and the schema make of the same text.

import t from 'tap'
import fc from 'fast-check'
import { nameOf } from '../../src/contract/json-schemas.ts'
import { MOST_SESSION_SUBS } from '../../src/contract/session-check.ts'
import { buildContractCheck } from '../../src/plugins/contract-check.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { quickSubs } from '../../src/routes/session-check/quick-subs.ts'
import { tableOf, type SubTable } from '../../src/routes/session-check/sub-table.ts'
import { isJson, spelledNumber, spelledTime, spelledTruth } from '../support/spelled.ts'
import { BASE, subs, type Sub } from '../support/session-check.ts'

const errorsOf = buildContractCheck().errorsOf(nameOf(sessionCheck.request))

const told = ({ count, columns, labels }: SubTable) => ({
  count,
  labels,
  columns: Object.fromEntries(Object.entries(columns).map(([name, column]) => [name, [...column]])),
})

/** What a careful reader makes of a list; null where it refuses it. */
function careful(list: string): ReturnType<typeof told> | null {
  if (!isJson(list)) return null
  const read = JSON.parse(list) as Sub[]
  return errorsOf({ camera: BASE.camera, subs: read }).length > 0 ? null : told(tableOf(read))
}

const quick = (list: string) => {
  const taken = quickSubs(`${list} ,"goal":1}`, 1)
  return taken === null ? null : { ...told(taken.items), end: taken.end }
}

const word = fc.oneof(
  { weight: 12, arbitrary: fc.constantFrom('"Ha"', '"OIII"', '"Hα"') },
  { weight: 1, arbitrary: fc.constantFrom('"a, b"', '"say \\"b\\""', '""', `"${'x'.repeat(61)}"`, 'Ha', '7') },
)
const rare = <Value>(arbitrary: fc.Arbitrary<Value>) =>
  fc.oneof({ weight: 20, arbitrary: fc.constant(undefined) }, { weight: 1, arbitrary })

const sub = fc.record(
  {
    startedAt: spelledTime.map((it) => JSON.stringify(it)),
    subSeconds: spelledNumber(1000),
    filter: word,
    backgroundAdu: spelledNumber(60_000),
    sensorCelsius: spelledNumber(80),
    relativeStarFlux: spelledNumber(100),
    relativeFwhm: spelledNumber(100),
    guidingErrorArcsec: spelledNumber(100),
    accepted: spelledTruth,
    clippedShare: rare(fc.constantFrom('0.5', '1', '1.5')),
    frame: rare(fc.constantFrom('{"background":{"adu":981}}', '{}', 'null')),
    fwhm: rare(fc.constant('3')),
  },
  { requiredKeys: ['startedAt', 'subSeconds'] },
)
type SpelledSub = Record<string, string | undefined>

void t.test('a list read quickly is the one that a careful reader takes', (t) => {
  let wereQuick = 0
  fc.assert(
    fc.property(
      fc.array(sub, { minLength: 1, maxLength: 4 }),
      fc.constantFrom('', '', ' ', '\n  ', '\t', '\u00a0'),
      (list: SpelledSub[], space) => {
        const items = list.map((it) => {
          const fields = Object.entries(it).flatMap(([name, value]) =>
            value === undefined ? [] : [`${space}"${name}":${space}${value}`],
          )
          return `${space}{${fields.join(',')}${space}}`
        })
        const text = `[${items.join(',')}${space}]`
        const taken = quick(text)
        if (taken === null) return
        wereQuick++
        t.same({ ...careful(text), end: text.length }, taken)
      },
    ),
    { numRuns: 1500, seed: 7 },
  )
  t.ok(wereQuick > 150, `${wereQuick} lists were quick`)
  t.end()
})

void t.test('what programs write is read quickly', (t) => {
  const labels = ['R', 'L', 'R']
  const list = subs(3, (i) => ({ filter: labels[i], accepted: i !== 1, sensorCelsius: -10.25 }))
  for (const text of [
    JSON.stringify(list),
    JSON.stringify(list, null, 2),
    JSON.stringify(list).replaceAll('":', '": '),
  ]) {
    t.same(quick(text), { ...careful(text), end: text.length })
  }
  t.same(quick(JSON.stringify(list))?.labels, ['R', 'L'])
  const many = JSON.stringify(subs(MOST_SESSION_SUBS))
  t.same(quick(many), { ...careful(many), end: many.length })
  t.end()
})

void t.test('the rest is left to a careful reader', (t) => {
  const [one] = subs(1)
  const text = JSON.stringify([one])
  const left = [
    '[]',
    '[7]',
    text.slice(0, -1),
    `${text.slice(0, -1)},]`,
    text.replace(/"startedAt":"[^"]*",/, ''),
    text.replace('"subSeconds":120', '"subSeconds":0'),
    text.replace('"subSeconds":120', '"subSeconds":1.2e2'),
    text.replace('"subSeconds":120', '"subSeconds":120,"subSeconds":120'),
    text.replace('"subSeconds":120', '"subSeconds":120,"filter":null'),
    text.replace('"subSeconds":120', '"subSeconds":120,"seconds":120'),
    JSON.stringify([{ ...one, frame: { background: { adu: 981 } } }]),
    JSON.stringify(subs(MOST_SESSION_SUBS + 1)),
  ]
  for (const list of left) t.equal(quick(list), null, list.slice(0, 90))
  t.end()
})
