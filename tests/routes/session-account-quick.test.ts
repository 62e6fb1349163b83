// Lines of a log are taken straight from the text where they are written as programs write them. What comes of it has to
// be what JSON.parse, Number, Date.parse and the checks of each field make of the same line.

import t from 'tap'
import fc from 'fast-check'
import { CsvLogReader } from '../../src/routes/session-account/log/csv-log.ts'
import { JsonLogReader } from '../../src/routes/session-account/log/json-log.ts'
import { LINE_FIELDS } from '../../src/routes/session-account/log/line-fields.ts'
import { QuickCsv } from '../../src/routes/session-account/log/quick-csv.ts'
import { SubLog } from '../../src/routes/session-account/log/sub-log.ts'
import { isJson, spelledNumber, spelledTime, spelledTruth } from '../support/spelled.ts'

const told = (log: SubLog) => ({
  columns: Object.entries<Iterable<number>>({ ...log.columns }).map(([name, column]) => [name, [...column]]),
  filters: log.filters.list,
  reasons: log.reasons.list,
  bad: [log.bad.count, log.bad.messages],
  lineCount: log.lineCount,
})

const GOOD_WORDS = ['Ha', 'OIII', 'Hα']
const word = fc.oneof(
  { weight: 12, arbitrary: fc.constantFrom(...GOOD_WORDS) },
  { weight: 1, arbitrary: fc.constantFrom('a car, and another', 'say "cloud"', 'back\\slash', ' Ha', 'x'.repeat(61)) },
)
const line = fc.record(
  {
    startedAt: spelledTime,
    subSeconds: spelledNumber(1000),
    filter: word,
    backgroundAdu: spelledNumber(60_000),
    relativeStarFlux: spelledNumber(10),
    fwhmArcsec: spelledNumber(60),
    relativeFwhm: fc.oneof({ weight: 9, arbitrary: fc.constant('') }, { weight: 1, arbitrary: spelledNumber(20) }),
    sensorCelsius: spelledNumber(80),
    accepted: spelledTruth,
    interrupted: spelledTruth,
    rejectedFor: word,
  },
  { requiredKeys: ['startedAt', 'subSeconds'] },
)
type SpelledLine = Record<string, string | undefined>

const knownLine = (it: string): SpelledLine => ({
  startedAt: '2024-01-01T00:00:00Z',
  subSeconds: '1',
  filter: it,
  rejectedFor: it,
})

const NAMES = [...LINE_FIELDS.keys()]

void t.test('rows of CSV read quickly are those that are cut into cells first', (t) => {
  let good = 0
  fc.assert(
    fc.property(
      fc.array(line, { maxLength: 8 }),
      fc.integer({ min: 1, max: 200 }),
      fc.constantFrom('\r\n', '\n', '\r'),
      (lines: SpelledLine[], piece, lineEnd) => {
        // First a line with every good word, so that the others may find them known.
        const rows = [
          ...[...GOOD_WORDS.map(knownLine), ...lines].map((it) =>
            NAMES.map((name) => it[name]?.replaceAll(',', ';').replaceAll('"', "'") ?? '').join(','),
          ),
        ]
        const plain = [NAMES.join(','), ...rows].join(lineEnd)
        const reader = new CsvLogReader()
        for (let from = 0; from < plain.length; from += piece) reader.take(plain.slice(from, from + piece))
        // Cells in quotes are never read quickly.
        const cut = new CsvLogReader()
        cut.take(
          [
            NAMES.join(','),
            ...rows.map((row) =>
              row
                .split(',')
                .map((cell) => `"${cell}"`)
                .join(','),
            ),
          ].join('\n'),
        )
        const [one, other] = [told(reader.end()), told(cut.end())]
        t.same(one, other)
        good += one.lineCount - GOOD_WORDS.length - (one.bad[0] as number)
      },
    ),
    { numRuns: 400, seed: 5 },
  )
  t.ok(good > 200, `${good} lines were good`)
  t.end()
})

const inJson = (value: string | undefined, name: string): string => {
  const isText = name === 'startedAt' || name === 'filter' || name === 'rejectedFor'
  return isText || value === '' ? JSON.stringify(value) : (value ?? 'null')
}

void t.test('items of JSON read quickly are those that JSON.parse gives, and all that is quick is JSON', (t) => {
  let quick = 0
  fc.assert(
    fc.property(
      fc.array(line, { minLength: 1, maxLength: 8 }),
      fc.constantFrom('', ' ', '\n  ', '\t', '\u00a0', '\v'),
      fc.constantFrom('', '', '', ' '),
      fc.shuffledSubarray(NAMES, { minLength: NAMES.length }),
      (lines: SpelledLine[], space, beforeColon, names) => {
        const fast = new JsonLogReader()
        const slow = new JsonLogReader()
        for (const it of GOOD_WORDS) {
          for (const reader of [fast, slow]) reader.take({ ...knownLine(it), subSeconds: 1 })
        }
        for (const it of lines) {
          const fields = names
            .filter((name) => (it[name] ?? '') !== '')
            .map((name) => `${space}"${name}"${beforeColon}:${space}${inJson(it[name], name)}${space}`)
          const text = `${space}{${fields.join(',')}}${space}`
          const end = fast.takeQuickly(`[${text},`, 1)
          const whole = isJson(text)
          if (end === -1) {
            if (whole) fast.take(JSON.parse(text))
          } else {
            quick++
            t.equal(end, text.length + 2)
            if (!whole) t.fail(`${text} is no JSON`)
          }
          if (whole) slow.take(JSON.parse(text))
        }
        t.same(told(fast.log), told(slow.log))
      },
    ),
    { numRuns: 600, seed: 6 },
  )
  t.ok(quick > 200, `${quick} items were quick`)
  t.end()
})

void t.test('a long text in one piece is read as in small ones', (t) => {
  const rows = Array.from({ length: 4000 }, (_, index) => ({
    startedAt: new Date(Date.UTC(2026, 0, 1) + index * 400_000).toISOString(),
    subSeconds: 100 + (index % 7) / 8,
    // Now and then one that is read with care.
    filter: index % 97 === 0 ? `F${index}` : 'Ha',
    backgroundAdu: index,
  }))
  const csv = [Object.keys(rows[0] ?? {}).join(','), ...rows.map((row) => Object.values(row).join(','))].join('\n')
  const whole = new CsvLogReader()
  whole.take(csv)
  const inPieces = new CsvLogReader()
  for (let from = 0; from < csv.length; from += 1000) inPieces.take(csv.slice(from, from + 1000))
  const [log, same] = [whole.end(), inPieces.end()]
  t.ok(csv.length > 150_000)
  t.same(told(log), told(same))
  t.same(
    [...log.columns.subSeconds],
    rows.map(({ subSeconds }) => subSeconds),
  )
  t.same(
    [...log.columns.startSeconds],
    rows.map(({ startedAt }) => Date.parse(startedAt) / 1000),
  )
  const reader = new JsonLogReader()
  const json = `${JSON.stringify(rows).slice(1, -1)},`
  for (let at = 0; at < json.length;) {
    const next = reader.takeQuickly(json, at)
    const end = json.indexOf('},', at) + 2
    if (next === -1) reader.take(JSON.parse(json.slice(at, end - 1)))
    else t.equal(next, end)
    at = end
  }
  t.same({ ...log.columns, line: null }, { ...reader.log.columns, line: null })
  t.end()
})

void t.test('usual rows of CSV are read quickly, from the second on', (t) => {
  const fields = ['startedAt', 'subSeconds', 'filter', 'accepted', 'sensorCelsius'].flatMap(
    (name) => LINE_FIELDS.get(name) ?? [],
  )
  const log = new SubLog(false)
  const quick = new QuickCsv(fields, log)
  const isQuick = (row: string, behind = '\n') => quick.take(row + behind, 0, row.length, 2)
  t.notOk(isQuick('2026-11-21T19:42:10Z,120,Ha,true,-10'), 'a word not met before')
  log.filters.indexOf('Ha')
  const usual = [
    '2026-11-21T19:42:10Z,120,Ha,true,-10',
    '2026-11-21T19:44:20.250Z,120.5,Ha,0,',
    '2026-11-22T00:00:00+01:00,1,,,',
  ]
  for (const row of usual) t.ok(isQuick(row), row)
  t.ok(isQuick(usual[0] ?? '', '\r\n'))
  for (const row of [
    '',
    ',',
    '2026-11-21T19:42:10Z,120,Ha,true',
    `${usual[0] ?? ''},`,
    '2026-11-21T19:42:10Z,0,Ha,1,2',
  ]) {
    t.notOk(isQuick(row), row)
  }
  t.same([...log.columns.subSeconds], [120, 120.5, 1, 120])
  t.same([...log.columns.isAccepted], [1, 0, 1, 1])
  t.end()
})

void t.test('usual lines are read quickly, from the second on', (t) => {
  const item =
    '{"startedAt":"2026-11-21T19:42:10Z","subSeconds":120.5,"filter":"Ha","accepted":false,"rejectedFor":"cloud"}'
  const reader = new JsonLogReader()
  t.equal(reader.takeQuickly(`${item},`, 0), -1, 'a word not met before')
  reader.take(JSON.parse(item))
  t.equal(reader.takeQuickly(`${item},`, 0), item.length + 1)
  for (const left of [
    item,
    `${item}]`,
    `${item.replace('"filter"', '"accepted"')},`,
    `${item.replace('filter', 'Filter')},`,
    `${item.replace('"subSeconds":120.5,', '')},`,
    `${item.slice(0, -1)},},`,
    `${item.replace('"Ha"', 'Ha')},`,
    `${item.replace('Ha', 'H\\u0061')},`,
    '{},',
    '[],',
    '7,',
    `{"startedAt":"2026-11-21T19:42:10Z","subSeconds":1,"fwhmArcsec":3,"relativeFwhm":1},`,
  ]) {
    t.equal(reader.takeQuickly(left, 0), -1, left)
  }
  t.equal(reader.log.columns.line.length, 2)
  t.end()
})
