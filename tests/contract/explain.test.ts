import t, { type Test } from 'tap'
import { errorsOf, post, testApp, toyBody } from '../support/app.ts'
import type { Problem } from '../../src/contract/problem.ts'

const { app } = await testApp(t)

/** The errors of a toy body, the smallest one changed as given. */
async function refuses(t: Test, changes: object, expected: string[]): Promise<void> {
  t.same(await errorsOf(app, { ...toyBody, ...changes }), expected, JSON.stringify(changes))
}

void t.test('a number out of its range is named with range and unit', async (t) => {
  await refuses(t, { focalLengthMm: 5 }, ['/focalLengthMm: 5 given; wanted: a number from 10 to 20000 mm'])
  await refuses(t, { focalLengthMm: 2e4 + 1 }, ['/focalLengthMm: 20001 given; wanted: a number from 10 to 20000 mm'])
  await refuses(t, { subLadderSeconds: [0] }, ['/subLadderSeconds/0: 0 given; wanted: a number above 0'])
})

void t.test('a union of a number and a measured number points inside the form that was meant', async (t) => {
  await refuses(t, { apertureMm: 5 }, ['/apertureMm: 5 given; wanted: a number from 10 to 2000 mm'])
  await refuses(t, { apertureMm: { value: 5, standardUncertainty: 0 } }, [
    '/apertureMm/value: 5 given; wanted: a number from 10 to 2000 mm',
    '/apertureMm/standardUncertainty: 0 given; wanted: a number above 0 and of at most 100',
  ])
  await refuses(t, { apertureMm: { value: 80, standardUncertaint: 1 } }, [
    '/apertureMm/standardUncertainty: missing; wanted: a number above 0 and of at most 100',
    '/apertureMm/standardUncertaint: unknown field; did you mean `standardUncertainty`?',
  ])
  await refuses(t, { apertureMm: {} }, [
    '/apertureMm/value: missing; wanted: a number from 10 to 2000 mm',
    '/apertureMm/standardUncertainty: missing; wanted: a number above 0 and of at most 100',
  ])
  const either = 'a number from 10 to 2000 mm, or an object with `value` and `standardUncertainty`'
  await refuses(t, { apertureMm: true }, [`/apertureMm: true given; wanted: ${either}`])
  await refuses(t, { apertureMm: [80, 0.5] }, [`/apertureMm: a list of 2 given; wanted: ${either}`])
})

void t.test('a union of objects points inside the form that shares most fields with what was given', async (t) => {
  await refuses(t, { sky: { bortleClass: 0 } }, ['/sky/bortleClass: 0 given; wanted: a whole number from 1 to 9'])
  await refuses(t, { sky: { magPerArcsec2: 30, airmass: 0 } }, [
    '/sky/magPerArcsec2: 30 given; wanted: a number from 10 to 23',
    '/sky/airmass: 0 given; wanted: a number of at least 1',
  ])
  await refuses(t, { sky: { magPerArcsec2: 20, bortleClass: 5 } }, [
    '/sky/bortleClass: not allowed together with `magPerArcsec2`; leave one of them out',
  ])
  await refuses(t, { sky: { bortelClass: 5 } }, ['/sky/bortelClass: unknown field; did you mean `bortleClass`?'])
  await refuses(t, { sky: {} }, [
    '/sky: an empty object given; wanted: an object with `magPerArcsec2`, or an object with `bortleClass`',
  ])
  await refuses(t, { sky: 5 }, [
    '/sky: 5 given; wanted: an object with `magPerArcsec2`, or an object with `bortleClass`',
  ])
  await refuses(t, { sky: { brightness: 5 } }, [
    '/sky/brightness: unknown field; known here: `magPerArcsec2`, `airmass` and `bortleClass`',
  ])
})

void t.test('forms that are told apart by a field are chosen by it', async (t) => {
  await refuses(t, { target: { kind: 'star', surfaceMagPerArcsec2: 20 } }, [
    '/target/starMag: missing; wanted: a number',
    '/target/surfaceMagPerArcsec2: not allowed when `kind` is star',
  ])
  await refuses(t, { target: { kind: 'stra', starMag: 1 } }, [
    '/target/kind: the text "stra" given; wanted: one of star, nebula; did you mean `star`?',
  ])
  await refuses(t, { target: { starMag: 1 } }, ['/target/kind: missing; wanted: one of star, nebula'])
})

void t.test('an unknown field points to itself and to the nearest known name, or to all names', async (t) => {
  await refuses(t, { focalLength: 480 }, ['/focalLength: unknown field; did you mean `focalLengthMm`?'])
  await refuses(t, { focal_length_mm: 480 }, ['/focal_length_mm: unknown field; did you mean `focalLengthMm`?'])
  const [error] = await errorsOf(app, { ...toyBody, zzzzzzzz: 1 })
  t.match(error, /^\/zzzzzzzz: unknown field; known here: `apertureMm`, .* … \(14 in all\)$/)
  t.match(await errorsOf(app, { ...toyBody, ['a/b~c']: 1 }), [/^\/a~1b~0c: unknown field/])
})

void t.test('a missing field points to where it should be', async (t) => {
  t.same(await errorsOf(app, {}), [
    '/apertureMm: missing; wanted: a number from 10 to 2000 mm, or an object with `value` and `standardUncertainty`',
    '/sky: missing; wanted: an object with `magPerArcsec2`, or an object with `bortleClass`',
  ])
})

void t.test('values that only look like numbers are refused in clear words', async (t) => {
  const wanted = 'wanted: a number from 10 to 20000 mm'
  await refuses(t, { focalLengthMm: null }, [`/focalLengthMm: null given; ${wanted}; leave out what is not known`])
  await refuses(t, { focalLengthMm: 'NaN' }, [`/focalLengthMm: the text "NaN" given; ${wanted}`])
  await refuses(t, { focalLengthMm: 'Infinity' }, [`/focalLengthMm: the text "Infinity" given; ${wanted}`])
  await refuses(t, { focalLengthMm: '480' }, [
    `/focalLengthMm: the text "480" given; ${wanted}; write a number without quotes`,
  ])
  await refuses(t, { focalLengthMm: true }, [`/focalLengthMm: true given; ${wanted}`])
  for (const huge of ['1e999', '-1e999']) {
    t.same(await errorsOf(app, `{"apertureMm": ${huge}, "sky": {"bortleClass": 5}}`), [
      '/apertureMm: a number too large to hold (beyond 1.8e308) given; wanted: a number from 10 to 2000 mm',
    ])
  }
})

void t.test('choices, texts, times, lists and records are explained', async (t) => {
  await refuses(t, { band: 'h-alfa' }, [
    '/band: the text "h-alfa" given; wanted: one of luminance, red, h-alpha; did you mean `h-alpha`?',
  ])
  await refuses(t, { lengths: 'aut' }, [
    '/lengths: the text "aut" given; wanted: auto, or a number of at least 1; did you mean `auto`?',
  ])
  await refuses(t, { lengths: 0 }, ['/lengths: 0 given; wanted: a number of at least 1'])
  await refuses(t, { dither: 1 }, ['/dither: 1 given; wanted: true or false'])
  await refuses(t, { label: '' }, ['/label: the text "" given; wanted: a text of 1 to 30 characters'])
  await refuses(t, { label: 'x'.repeat(100) }, [
    `/label: the text "${'x'.repeat(39)}… given; wanted: a text of 1 to 30 characters`,
  ])
  await refuses(t, { site: 'A1' }, ['/site: the text "A1" given; wanted: a text such as "meadow"'])
  await refuses(t, { startsAt: '2026-01-31 21:30' }, [
    '/startsAt: the text "2026-01-31 21:30" given; wanted: a time in UTC such as "2026-01-31T21:30:00Z"',
  ])
  await refuses(t, { night: '2026-02-30' }, [
    '/night: the text "2026-02-30" given; wanted: a date such as "2026-01-31"',
  ])
  await refuses(t, { subLadderSeconds: [] }, [
    '/subLadderSeconds: an empty list given; wanted: a list of 1 to 200 items',
  ])
  await refuses(t, { subLadderSeconds: { 0: 1 } }, [
    '/subLadderSeconds: an object given; wanted: a list of 1 to 200 items',
  ])
  await refuses(t, { weights: { A: 1, b: 2 } }, [
    '/weights/A: name of a field: the text "A" given; wanted: a text that matches ^[a-z]+$',
    '/weights/b: 2 given; wanted: a number from 0 to 1',
  ])
})

void t.test('every bad field is listed, fifty at most, and the detail names the first', async (t) => {
  const body = { ...toyBody, apertureMm: 1, dither: 'yes' }
  const response = await post(app, body)
  t.equal(response.statusCode, 400)
  t.same(response.json<Problem>(), {
    type: '/problems/invalid-request',
    title: 'The request breaks the contract',
    status: 400,
    detail: '/apertureMm: 1 given; wanted: a number from 10 to 2000 mm (and 1 more, see errors)',
    errors: [
      { pointer: '/apertureMm', message: '1 given; wanted: a number from 10 to 2000 mm' },
      { pointer: '/dither', message: 'the text "yes" given; wanted: true or false' },
    ],
  })
  const many = await errorsOf(app, { ...toyBody, subLadderSeconds: Array(200).fill(-1) })
  t.equal(many.length, 50)
  t.equal(many[49], '/subLadderSeconds/49: -1 given; wanted: a number above 0')
})

void t.test('a body that is no object is refused as a whole', async (t) => {
  for (const [text, given] of [
    ['null', 'null'],
    ['[]', 'an empty list'],
    ['7', '7'],
    ['"x"', 'the text "x"'],
  ] as const) {
    const [error = ''] = await errorsOf(app, text)
    t.ok(error.startsWith(`: ${given} given; wanted: an object with \`apertureMm\` and \`sky\``), error)
  }
})

void t.test('names that mean something to JavaScript mean nothing here', async (t) => {
  for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
    const errors = await errorsOf(app, `{"apertureMm": 80, "sky": {"bortleClass": 5}, "${name}": {"apertureMm": 1}}`)
    t.match(errors, [new RegExp(`^/${name}: unknown field`)])
    const nested = await errorsOf(app, `{"apertureMm": 80, "sky": {"bortleClass": 5, "${name}": 1}}`)
    t.match(nested, [new RegExp(`^/sky/${name}: unknown field`)])
  }
  t.equal(({} as { apertureMm?: number }).apertureMm, undefined)
})

void t.test('deep nesting costs nothing but a refusal', async (t) => {
  for (const text of ['['.repeat(30000) + ']'.repeat(30000), '{"sky":'.repeat(8000) + '1' + '}'.repeat(8000)]) {
    const response = await post(app, text)
    t.equal(response.statusCode, 400)
    t.equal(response.json<Problem>().type, '/problems/invalid-request')
  }
})
