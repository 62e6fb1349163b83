import t from 'tap'
import { parseJson } from '../../src/plugins/json-text.ts'
import { ListCutter } from '../../src/plugins/list-cutter.ts'
import { seededRandom } from '../support/random.ts'

/** Numbers of one digit with a comma right behind them. */
const QUICK = /\d,/y

/** Cuts a text that comes in pieces of so many characters. */
function cut(
  text: string,
  pieceLength: number,
  { field = 'subs', quick = new RegExp(QUICK) } = {},
): { items: unknown[]; left: unknown; isFound: boolean } {
  const items: unknown[] = []
  const cutter = new ListCutter(field, {
    take: (item) => items.push(item),
    takeQuickly: (whole, from) => {
      quick.lastIndex = from
      if (!quick.test(whole)) return -1
      items.push(Number(whole[from]))
      return quick.lastIndex
    },
  })
  for (let from = 0; from < text.length; from += pieceLength) cutter.push(text.slice(from, from + pieceLength))
  return { items, left: cutter.end(), isFound: cutter.isFound }
}

const messageOf = (run: () => unknown): string => {
  try {
    run()
  } catch (error) {
    return error instanceof Error ? error.message : ''
  }
  return 'no error'
}

void t.test('items come out as they went in, whatever the pieces', (t) => {
  const value = {
    camera: { like: 'a [subs] {"subs": [1]}', list: [[1], { subs: [2] }] },
    subs: [{ a: '],[{}\\"', b: [1, [2, { c: ']' }]] }, 7, null, 'text, with "quotes\\\\"', [], {}, -1.5e3, true],
    goal: { subs: [] },
  }
  for (const text of [
    JSON.stringify(value),
    JSON.stringify(value, null, 2),
    ` \r\n${JSON.stringify(value, null, '\t')}\n`,
  ]) {
    for (const pieceLength of [1, 2, 3, 7, 50, 1e6]) {
      const { items, left, isFound } = cut(text, pieceLength)
      t.ok(isFound)
      t.same(items, value.subs)
      t.same(left, { ...value, subs: [] })
    }
  }
  t.end()
})

void t.test('what is no list of that name stays where it is', (t) => {
  const texts = [
    '{"subs":3}',
    '{"subs":{"subs":[1]}}',
    '{"other":[1],"x":"subs"}',
    '[{"subs":[1]}]',
    '"subs"',
    '{"s\\u0075bs":[1]}',
  ]
  for (const text of texts) {
    const { items, left, isFound } = cut(text, 3)
    t.same([items, isFound], [[], false], text)
    t.same(left, JSON.parse(text))
  }
  t.same(cut('{"subs": [ \n ]}', 2), { items: [], left: { subs: [] }, isFound: true })
  t.end()
})

void t.test('a fault is told at its place in the whole text', (t) => {
  const faults = [
    '',
    '{"subs":[',
    '{"subs":[1,',
    '{"subs":[{"a":1},\n  {"a":}]}',
    '{"subs":[{"a":1},\r\n\r\n  tru]}',
    '{"subs":[1,,2]}',
    '{"subs":[,1]}',
    '{"subs":[1,2,\n]}',
    '{"subs":[1,2]',
    '{"subs":[1,2]\n,"x" 3}',
    '{"x" 3,"subs":[1]}',
    '{"subs":["open',
  ]
  for (const text of faults) {
    const whole = messageOf(() => parseJson(text, 'The body'))
    t.match(whole, /^The body is (?:not JSON: at line \d+, column \d+|empty)/)
    for (const pieceLength of [1, 4, 1000]) {
      const place = /line \d+, column \d+/
      const found = messageOf(() => cut(text, pieceLength))
      t.equal(place.exec(found)?.[0], place.exec(whole)?.[0], `${JSON.stringify(text)}: ${found}`)
    }
  }
  t.end()
})

void t.test('a text broken by chance is refused where the whole text is, and else read alike', (t) => {
  const random = seededRandom(11)
  const good = JSON.stringify({ a: { b: [1, 'x'] }, subs: [{ c: '1' }, { d: [2] }, 3], e: null })
  let broken = 0
  for (let trial = 0; trial < 3000; trial++) {
    const at = Math.floor(random.uniform() * good.length)
    const marks = ['', '"', ',', ']', '}', '[', '{', ':', ' ', '\\']
    const text = good.slice(0, at) + (marks[Math.floor(random.uniform() * marks.length)] ?? '') + good.slice(at + 1)
    const whole = messageOf(() => parseJson(text, 'The body'))
    const pieceLength = 1 + Math.floor(random.uniform() * 20)
    const found = messageOf(() => {
      const { items, left, isFound } = cut(text, pieceLength)
      if (isFound) t.same({ ...(left as object), subs: items }, JSON.parse(text))
      else t.same(left, JSON.parse(text))
    })
    if (whole !== 'no error') broken++
    if ((whole === 'no error') !== (found === 'no error')) t.fail(`${text}: ${whole} | ${found}`)
  }
  t.ok(broken > 1000, `${broken} were broken`)
  t.end()
})

void t.test('a name given twice is refused: in an item by its place, beside the list, or the list itself', (t) => {
  const errorsOf = (text: string) => {
    try {
      cut(text, 5)
    } catch (error) {
      return (error as { errors: { pointer: string }[] }).errors.map(({ pointer }) => pointer)
    }
    return []
  }
  t.same(errorsOf('{"subs":[1,{"a":{"b":1,"b":2}}]}'), ['/subs/1/a/b'])
  t.same(errorsOf('{"x":1,"subs":[1],"x":2}'), ['/x'])
  t.same(errorsOf('{"subs":[1],"subs":[2]}'), ['/subs'])
  t.same(errorsOf('{"subs":[1],"s\\u0075bs":[2]}'), ['/subs'])
  t.end()
})

void t.test('items that are taken straight from the text come out alike, in their order, and count', (t) => {
  const texts = ['{"subs":[1,2,{"a":[3,4]},5,"6,",7,8],"x":[9,1]}', '{"subs":[1,2,\n3, 4,5]}', '{"subs":[1,2]}']
  for (const text of texts) {
    for (const pieceLength of [1, 2, 3, 7, 50]) {
      const quick = cut(text, pieceLength)
      t.same(quick, cut(text, pieceLength, { quick: /never/y }))
      t.same(quick.items, (JSON.parse(text) as { subs: unknown[] }).subs)
    }
  }
  const message = messageOf(() => cut('{"subs":[1,2,3,{"a":1,"a":2}]}', 50))
  t.equal(
    message,
    messageOf(() => cut('{"subs":[1,2,3,{"a":1,"a":2}]}', 50, { quick: /never/y })),
  )
  t.throws(() => cut('{"subs":[1,2,3,{"a":1,"a":2}]}', 50), { errors: [{ pointer: '/subs/3/a' }] })
  t.throws(() => cut('{"subs":[1,2,]}', 50), /column 14/)
  t.end()
})

void t.test('what is out of all proportion is refused, a long list of small items is not', (t) => {
  const long = 'x'.repeat(70_000)
  t.equal(
    messageOf(() => cut(`{"subs":[1,"${long}`, 1000)),
    'An item of `subs` may have 65536 characters.',
  )
  t.equal(
    messageOf(() => cut(`{"x":"${long}`, 1000)),
    'What stands beside `subs` may have 65536 characters.',
  )
  t.equal(
    messageOf(() => cut(`{"subs":[1],"x":"${long}`, 1000)),
    'What stands beside `subs` may have 65536 characters.',
  )
  t.equal(cut(`{"subs":[${Array<string>(30_000).fill('{"a":1}').join(',')}]}`, 65_536).items.length, 30_000)
  t.end()
})
