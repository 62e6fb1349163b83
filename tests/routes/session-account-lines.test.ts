// Lines that cannot be used, in JSON and in CSV, and CSV as people and programs write it.

import t from 'tap'
import { ask, askCsv, filterOf, log, SETUP, sub, type Answer, type Line } from './session-account-logs.ts'

void t.test('JSON lines that cannot be used are named by pointer, and the rest is accounted', async (t) => {
  const good = log(10)
  const subs = [
    ...good.slice(0, 4),
    17,
    null,
    { subSeconds: 120 },
    sub(20, { subSeconds: -1, relativeStarFlux: '0.9' }),
    sub(21, { exposure: 3 }),
    sub(22, { backgroundAdu: 900, backgroundElectronsPerPixelSecond: 1 }),
    sub(23, { startedAt: '21.11.2026 19:40' }),
    sub(24, { sensorCelsius: 263.15 }),
    sub(25, { sensorcelsius: -10 }),
    [],
    { ...sub(26), subSeconds: {} },
    ...good.slice(4),
  ]
  const { status, answer } = await ask({ ...SETUP, subs })
  t.equal(status, 200)
  t.equal(answer.log.badLineCount, 11)
  t.equal(answer.log.usedCount, 10)
  t.match(
    answer.log.badLines.map(({ pointer, message }) => `${pointer ?? ''}: ${message}`),
    [
      '/subs/4: 17 given; wanted: an object with startedAt and subSeconds',
      '/subs/5: null given; wanted: an object with startedAt and subSeconds',
      '/subs/6/startedAt: missing; wanted: a time with `Z` or an offset, such as 2026-11-21T19:42:10Z',
      '/subs/7/subSeconds: -1 given; wanted: a number from 0.001 to 86400 seconds, such as 120',
      '/subs/7/relativeStarFlux: "0.9" given; wanted: a number from 0 to 10, such as 0.97',
      /^\/subs\/8\/exposure: unknown field; known here: `startedAt`, `subSeconds`/,
      '/subs/9/backgroundElectronsPerPixelSecond: stands beside backgroundAdu; give one of the two',
      /^\/subs\/10\/startedAt: "21.11.2026 19:40" given; wanted: a time with/,
      '/subs/11/sensorCelsius: 263.15 given; wanted: a number from -150 to 80 °C, such as -10',
      '/subs/12/sensorcelsius: unknown field; did you mean `sensorCelsius`?',
      '/subs/13: a list given; wanted: an object with startedAt and subSeconds',
      '/subs/14/subSeconds: an object given; wanted: a number from 0.001 to 86400 seconds, such as 120',
    ],
  )
  const alone = await ask({ ...SETUP, subs: good })
  t.same(answer.filters, alone.answer.filters, 'as if the bad lines were not there')
  t.match(answer.explanation[0], /^11 of 21 lines cannot be used: .* their time counts as idle/)
})

void t.test('CSV lines that cannot be used are named by the line of the file', async (t) => {
  const csv = [
    '\uFEFFstartedAt,subSeconds,rejectedFor,accepted',
    '2026-11-21T19:40:00Z,120,,',
    '2026-11-21T19:43:00Z,abc,,true',
    '',
    '2026-11-21T19:46:00Z,120,"a car, and\nanother",false',
    '2026-11-21T19:49:00Z,120',
    '2026-11-21T19:52:00Z,120,,perhaps',
    '2026-11-21T19:55:00Z,120,,1',
    ',,,',
  ].join('\r\n')
  const { status, answer } = await askCsv(SETUP, csv)
  t.equal(status, 200)
  t.same(answer.log.badLines, [
    { line: 3, message: 'subSeconds: "abc" given; wanted: a number from 0.001 to 86400 seconds, such as 120' },
    { line: 7, message: '2 cells given; wanted: 4, as in the header' },
    { line: 8, message: 'accepted: "perhaps" given; wanted: true or false' },
  ])
  t.equal(answer.log.lineCount, 6, 'lines of nothing are none')
  t.equal(filterOf(answer).subCount, 2)
  t.same(filterOf(answer).rejectedFor, [{ reason: 'a car, and\nanother', subCount: 1, exposureSeconds: 120 }])
})

void t.test('no word that every object knows is a truth', async (t) => {
  const words = ['constructor', '__proto__', 'toString', 'TRUE']
  const rows = words.map((word, index) => `2026-11-21T19:4${index * 2}:00Z,60,${word}`)
  const { status, answer } = await askCsv(SETUP, ['startedAt,subSeconds,accepted', ...rows].join('\n'))
  t.equal(status, 200)
  t.same(answer.log.badLines, [
    { line: 2, message: 'accepted: "constructor" given; wanted: true or false' },
    { line: 3, message: 'accepted: "__proto__" given; wanted: true or false' },
    { line: 4, message: 'accepted: "toString" given; wanted: true or false' },
  ])
  t.equal(filterOf(answer).subCount, 1)
})

void t.test('a quote that is never closed spoils its line only', async (t) => {
  const csv = 'startedAt,subSeconds,rejectedFor\n2026-11-21T19:40:00Z,120,\n2026-11-21T19:43:00Z,120,"car'
  const { answer } = await askCsv(SETUP, csv)
  t.same(answer.log.badLines, [{ line: 3, message: 'a quote is not closed, or stands inside a cell' }])
  t.equal(filterOf(answer).subCount, 1)
})

void t.test('a log in CSV is accounted as in JSON', async (t) => {
  const subs = log(80)
  const names = Object.keys(Object.assign({}, ...subs) as Line)
  const csv = [names.join(','), ...subs.map((line) => names.map((name) => String(line[name] ?? '')).join(','))].join(
    '\n',
  )
  const inCsv = await askCsv({ ...SETUP, goal: { snr: 40, per: 'pixel' } }, csv)
  const inJson = await ask({ ...SETUP, goal: { snr: 40, per: 'pixel' }, subs })
  t.equal(inCsv.status, 200)
  const lineless = ({ filters, ...rest }: Answer) => ({
    ...rest,
    filters: filters.map((filter) => ({ ...filter, drop: null })),
    log: rest.log.remarks.map(({ kind, subCount }) => [kind, subCount]),
  })
  t.same(lineless(inCsv.answer), lineless(inJson.answer))
  t.same(
    filterOf(inCsv.answer).drop.lines,
    filterOf(inJson.answer).drop.lines.map((line) => line + 2),
    'lines of the file',
  )
})

void t.test('a header that is none is refused, with what is known', async (t) => {
  const refused: [string, RegExp][] = [
    ['\n', /column `startedAt` is missing/],
    [
      'startedAt;subSeconds\n',
      /the columns of the header are parted by `;`; wanted: commas, and decimals with a point/,
    ],
    ['startedAt\tsubSeconds\n', /parted by tabs/],
    ['startedAt,subSeconds,subSeconds\n', /column `subSeconds` stands twice/],
    ['startedAt,subSeconds,\n', /column 3 has no name/],
    ['startedAt,exposure\n', /unknown column `exposure` in the header; known here/],
    ['startedAt,subseconds\n', /unknown column `subseconds` in the header; did you mean `subSeconds`\?/],
    [`startedAt,subSeconds,${'x'.repeat(50)}`, /unknown column `x{40}…`/],
    ['"startedAt,subSeconds\n', /column `startedAt` is missing/],
    [`startedAt,subSeconds\n${'7'.repeat(70_000)}`, /line 2 has more than 65536 characters/],
  ]
  for (const [csv, reason] of refused) {
    const { status, errors } = await askCsv(SETUP, csv)
    t.equal(status, 400, csv)
    t.ok(
      errors.some((error) => reason.test(error)),
      errors.join('; '),
    )
  }
  const { status, errors } = await askCsv({ ...SETUP, subs: [] }, 'startedAt,subSeconds\n')
  t.equal(status, 400)
  t.match(errors, [/^\/subs: unknown field/])
})

const accounted = async (...lines: string[]) => {
  const { answer } = await askCsv(SETUP, lines.join('\n'))
  return answer
}

const said = ({ log }: Answer) => log.badLines.map(({ line, message }) => `${line}: ${message}`)

void t.test('numbers that only look like one are named, with what is meant', async (t) => {
  const answer = await accounted(
    'relativeStarFlux,startedAt , subSeconds',
    '0,97,2026-11-21T19:40:00Z,120',
    '"0,97",2026-11-21T19:43:00Z,120',
    '97,2026-11-21T19:43:00Z,120',
    ',2026-11-21T19:46:00Z,0x78',
    ',2026-11-21T19:49:00Z,Infinity',
    ',2026-11-21T19:52:00Z,1e999',
    ',2026-11-21 19:55:00,120',
    ',2026-11-21T19:55:00+01:00,+1.2e2',
    'relativeStarFlux,startedAt,subSeconds',
  )
  t.match(said(answer), [
    '2: 4 cells given; wanted: 3, as in the header; decimals have a point, and text with a comma stands in quotes',
    /^3: relativeStarFlux: "0,97" given; wanted: a number .*; decimals have a point$/,
    /^4: relativeStarFlux: 97 given; wanted: a number from 0 to 10, such as 0.97$/,
    /^5: subSeconds: "0x78" given/,
    /^6: subSeconds: "Infinity" given/,
    /^7: subSeconds: "1e999" given/,
    /^8: startedAt: "2026-11-21 19:55:00" given/,
    /^10: relativeStarFlux: "relativeStarFlux" given/,
    /^10: startedAt: "startedAt" given/,
    /^10: subSeconds: "subSeconds" given/,
  ])
  t.equal(filterOf(answer).subCount, 1)
  t.equal(answer.nights[0]?.startedAt, '2026-11-21T18:55:00.000Z')
})

void t.test('quotes: doubled, with commas, and one that never closes far from the end', async (t) => {
  const good = Array.from({ length: 40 }, (_, index) => `2026-11-21T20:${10 + index}:00Z,30,`)
  const answer = await accounted(
    '"startedAt","subSeconds","rejectedFor"',
    '2026-11-21T19:40:00Z,120,"say ""haze"", twice"',
    '2026-11-21T19:43:00Z,120,"haze',
    ...good,
    '2026-11-21T21:00:00Z,30,"x" y',
    '2026-11-21T21:03:00Z,30,a "quoted" word',
  )
  t.match(said(answer), [
    '3: a quote is not closed, or stands inside a cell',
    '44: a quote is not closed, or stands inside a cell',
  ])
  t.equal(filterOf(answer).subCount, 42, 'every other line')
})

void t.test('carriage returns alone, and a log of one line without an end', async (t) => {
  const { answer } = await askCsv(SETUP, 'startedAt,subSeconds\r2026-11-21T19:40:00Z,120\r2026-11-21T19:43:00Z,120\r')
  t.equal(filterOf(answer).subCount, 2)
  t.equal(filterOf(await accounted('startedAt,subSeconds', '2026-11-21T19:40:00Z,120')).subCount, 1)
})
