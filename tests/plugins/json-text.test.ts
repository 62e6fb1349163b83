import fc from 'fast-check'
import t from 'tap'
import { scanJson } from '../../src/plugins/json-scan.ts'
import { parseJson } from '../../src/plugins/json-text.ts'

const seed = Number(process.env.FC_SEED ?? 20260131)

void t.test('where a text stops being JSON is told by line and column', (t) => {
  const broken: [string, string][] = [
    ['{"a": 1,\n "b": 2,}', 'line 2, column 9 "}" stands where a name in double quotes is wanted'],
    ['{"a": NaN}', 'line 1, column 7 "NaN}" stands where a value is wanted'],
    ["{'a': 1}", 'line 1, column 2 "\'a\': 1}" stands where a name in double quotes or } is wanted'],
    ['{"a" 1}', 'line 1, column 6 "1}" stands where a colon is wanted'],
    ['{"a": 1 "b": 2}', 'line 1, column 9 "\\"b\\": 2}" stands where a comma or } is wanted'],
    ['[1 2]', 'line 1, column 4 "2]" stands where a comma or ] is wanted'],
    ['[', 'line 1, column 2 the text ends where a value or ] is wanted'],
    ['{"a": 1', 'line 1, column 8 the text ends where a comma or } is wanted'],
    ['{}\r\n{}', 'line 2, column 1 "{}" stands where the end of the text is wanted'],
    ['{"a": 01}', 'line 1, column 8 "1}" stands where a comma or } is wanted'],
    ['{"a": "x\ty"}', 'line 1, column 7 "\\"x\\ty\\"}" stands where a value is wanted'],
    ['{"a": "\\x"}', 'line 1, column 7 "\\"\\\\x\\"}" stands where a value is wanted'],
    ['nul', 'line 1, column 1 "nul" stands where a value is wanted'],
  ]
  for (const [text, where] of broken) {
    t.throws(
      () => parseJson(text, 'The body'),
      { name: 'ProblemError', kind: 'unreadable-request', message: `The body is not JSON: at ${where}.` },
      text,
    )
  }
  t.end()
})

void t.test('an empty text asks for an object, and a byte order mark is passed over', (t) => {
  for (const text of ['', ' \n']) {
    t.throws(() => parseJson(text, 'The body'), { message: 'The body is empty; a JSON object is wanted.' })
  }
  t.same(parseJson('\uFEFF{"a": 1}', 'The body'), { a: 1 })
  t.end()
})

void t.test('a name given twice in one object is refused, wherever it stands', (t) => {
  const doubled: [string, string[]][] = [
    ['{"a": 1, "a": 2}', ['/a']],
    ['{"a": 1, "\\u0061": 2}', ['/a']],
    ['{"x/y": [0, {"b~": 1, "b~": 1}], "c": {"d": 1, "d": {}}}', ['/x~1y/1/b~0', '/c/d']],
    ['{"__proto__": 1, "__proto__": 2}', ['/__proto__']],
  ]
  for (const [text, pointers] of doubled) {
    const errors = pointers.map((pointer) => ({ pointer, message: 'given twice; leave one of them out' }))
    t.throws(() => parseJson(text, 'The body'), { kind: 'invalid-request', errors }, text)
  }
  t.same(parseJson('{"a": {"a": "a\\\\"}, "b": ["a", "a", {"a": ":"}]}', 'The body'), {
    a: { a: 'a\\' },
    b: ['a', 'a', { a: ':' }],
  })
  t.equal(scanJson(`{${Array(100).fill('"a": 1').join(', ')}}`).doubled.length, 50, 'fifty at most')
  t.end()
})

const parses = (text: string) => {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

/** JSON texts of which most are damaged in one place. */
const damaged = fc
  .tuple(
    fc.json(),
    fc.nat(),
    fc.constantFrom('', ',', ':', '"', '\\', '{', '}', '[', ']', '0', '-', 'e', '.', ' ', '\u0000'),
  )
  .map(
    ([text, at, insert]) => text.slice(0, at % (text.length + 1)) + insert + text.slice((at % (text.length + 1)) + 1),
  )

void t.test('the scanner calls JSON what JSON.parse does', (t) => {
  fc.assert(
    fc.property(
      fc.oneof(fc.json(), damaged, fc.string()),
      (text) => (scanJson(text).fault === undefined) === parses(text),
    ),
    { numRuns: 5000, seed },
  )
  t.pass()
  t.end()
})

void t.test('what JSON.stringify writes is read back, whatever its names', (t) => {
  fc.assert(
    fc.property(fc.jsonValue(), (value) => {
      const text = JSON.stringify(value)
      return JSON.stringify(parseJson(text, 'The body')) === JSON.stringify(JSON.parse(text))
    }),
    { numRuns: 2000, seed },
  )
  t.pass()
  t.end()
})

void t.test('no depth is too deep', (t) => {
  const depth = 32000
  t.doesNotThrow(() => parseJson('['.repeat(depth) + ']'.repeat(depth), 'The body'))
  t.throws(() => parseJson('['.repeat(depth), 'The body'), { message: /column 32001 the text ends/ })
  t.throws(() => parseJson(`${'['.repeat(depth)}{"a":1,"a":1}${']'.repeat(depth)}`, 'The body'), {
    message: 'A field is given twice.',
  })
  t.end()
})
