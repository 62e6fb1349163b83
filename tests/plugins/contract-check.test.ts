import fc from 'fast-check'
import t from 'tap'
import { z } from 'zod'
import { buildContractCheck } from '../../src/plugins/contract-check.ts'
import { contractSchemas, nameOf } from '../../src/contract/json-schemas.ts'
import { explain } from '../../src/contract/explain/explain.ts'
import type { JsonSchema } from '../../src/contract/explain/json-schema.ts'
import { ToyRequestSchema } from '../support/app.ts'

const seed = Number(process.env.FC_SEED ?? 20260131)

const number = fc.oneof(
  fc.double({ noNaN: true }),
  fc.integer({ min: -5, max: 30 }),
  fc.constantFrom(0, -0, 9, 10, 2000, 20000, 1e308, Infinity, -Infinity, 5.5),
)
const scalar = fc.oneof(
  number,
  fc.constantFrom(null, true, false),
  fc.string({ unit: 'grapheme-ascii', maxLength: 40 }),
)
const measured = fc.record({ value: number, standardUncertainty: number, extra: scalar }, { requiredKeys: [] })
const sky = fc.record(
  { magPerArcsec2: number, bortleClass: number, airmass: number, other: scalar },
  { requiredKeys: [] },
)
const target = fc.record(
  { kind: fc.constantFrom('star', 'nebula', 'comet'), starMag: number, surfaceMagPerArcsec2: number, label: scalar },
  { requiredKeys: [] },
)
const anything = fc.oneof(scalar, fc.array(scalar, { maxLength: 3 }), measured, sky, target)
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })

const goodRequest = fc.record(
  {
    apertureMm: fc.oneof(
      between(10, 2000),
      fc.record({ value: between(10, 2000), standardUncertainty: between(0.001, 100) }),
    ),
    sky: fc.oneof(
      fc.record({ bortleClass: fc.integer({ min: 1, max: 9 }) }),
      fc.record({ magPerArcsec2: between(10, 23), airmass: between(1, 40) }, { requiredKeys: ['magPerArcsec2'] }),
    ),
    focalLengthMm: between(10, 20000),
    band: fc.constantFrom('luminance', 'red', 'h-alpha'),
    target: fc.oneof(
      fc.record({ kind: fc.constant('star'), starMag: between(-30, 30) }),
      fc.record({ kind: fc.constant('nebula'), surfaceMagPerArcsec2: between(0, 40) }),
    ),
    subLadderSeconds: fc.array(between(0.001, 1e4), { minLength: 1, maxLength: 4 }),
    startsAt: fc.date({ noInvalidDate: true, min: new Date(0), max: new Date(4e12) }).map((date) => date.toISOString()),
    night: fc.constantFrom('2024-02-29', '2026-01-31'),
    label: fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 30 }),
    site: fc.constant('meadow'),
    dither: fc.boolean(),
    lengths: fc.constantFrom('auto', 1),
    weights: fc.dictionary(fc.constantFrom('a', 'bc'), between(0, 1)),
  },
  { requiredKeys: ['apertureMm', 'sky'] },
)

/** Good requests, of which three in four have one field replaced, removed or added. */
const toyRequest = fc
  .tuple(goodRequest, fc.constantFrom('nothing', 'replace', 'remove', 'add'), fc.nat(), anything)
  .map(([request, change, at, value]): Record<string, unknown> => {
    const names = Object.keys(request)
    const name = names[at % names.length] ?? 'apertureMm'
    const changed = { nothing: request, replace: { ...request, [name]: value }, add: { ...request, surplus: value } }
    return change === 'remove'
      ? Object.fromEntries(Object.entries(request).filter(([key]) => key !== name))
      : changed[change]
  })

void t.test('validator, zod and explanation agree on every generated request', (t) => {
  const schemas = contractSchemas()
  const lookup = (reference: string): JsonSchema => schemas[reference.replace('#', '')] ?? {}
  const errorsOf = buildContractCheck().errorsOf('ToyRequest')
  const verdicts = { allowed: 0, refused: 0 }
  fc.assert(
    fc.property(fc.oneof({ arbitrary: toyRequest, weight: 9 }, { arbitrary: anything, weight: 1 }), (request) => {
      const allowed = ToyRequestSchema.safeParse(request).success
      verdicts[allowed ? 'allowed' : 'refused']++
      const explained = explain(lookup('ToyRequest#'), request, lookup)
      return (errorsOf(request).length === 0) === allowed && (explained.length === 0) === allowed
    }),
    { numRuns: 3000, seed },
  )
  t.ok(verdicts.allowed > 500 && verdicts.refused > 500, `both verdicts are frequent: ${JSON.stringify(verdicts)}`)
  t.end()
})

void t.test('every error points to a field of the request, or to where one is missing', (t) => {
  const errorsOf = buildContractCheck().errorsOf('ToyRequest')
  fc.assert(
    fc.property(toyRequest, (request) => {
      for (const { pointer, message } of errorsOf(request)) {
        const steps = pointer
          .split('/')
          .slice(1)
          .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'))
        const last = steps.pop()
        const parent = steps.reduce<unknown>((value, step) => (value as Record<string, unknown>)[step], request)
        if (last !== undefined) {
          const exists = Object.hasOwn(parent as object, last)
          if (exists === message.startsWith('missing')) return false
        }
      }
      return true
    }),
    { numRuns: 1500, seed },
  )
  t.pass()
  t.end()
})

void t.test('a rule that only the validator knows is told in its words', (t) => {
  const OddSchema = z
    .strictObject({ list: z.array(z.number()).meta({ uniqueItems: true }) })
    .meta({ id: 'OddTestSchema' })
  const errors = buildContractCheck().errorsOf(nameOf(OddSchema))({ list: [1, 1] })
  t.match(errors, [{ pointer: '/list', message: /must NOT have duplicate items/ }])
  z.globalRegistry.remove(OddSchema)
  t.end()
})

void t.test('an answer is written only as it is published', (t) => {
  const write = buildContractCheck().writerOf('ToyAnswer')
  const answer = { apertureMm: 80, toSeconds: null, explanation: ['ü'] }
  t.equal(write(answer), JSON.stringify(answer))
  const broken: [object, RegExp][] = [
    [{ ...answer, apertureMm: NaN }, /apertureMm must be number/],
    [{ ...answer, apertureMm: Infinity }, /apertureMm must be number/],
    [{ ...answer, surplus: 1 }, /must NOT have additional properties/],
    [{ ...answer, explanation: undefined }, /must have required property 'explanation'/],
  ]
  for (const [bad, message] of broken) t.throws(() => write(bad), { name: 'AnswerError', message })
  t.end()
})

void t.test('schemas that cannot serve both ways are refused at the start', (t) => {
  const changing = {
    default: z.strictObject({ a: z.number().default(1) }),
    transform: z.strictObject({ a: z.string().transform(Number).pipe(z.number()) }),
    loose: z.object({ a: z.number() }),
  }
  for (const [what, schema] of Object.entries(changing)) {
    const named = schema.meta({ id: 'ChangingTestSchema' })
    t.throws(() => contractSchemas(), { message: /^Schema ChangingTestSchema changes what it parses/ }, what)
    z.globalRegistry.remove(named)
  }
  t.throws(() => nameOf(z.string()), { message: /give it one with .meta/ })
  t.throws(() => buildContractCheck().errorsOf('NoSuchSchema'), { message: 'No schema is named NoSuchSchema.' })
  t.end()
})

void t.test('a format without a pattern is refused at the start, since nothing would check it', (t) => {
  const UrlSchema = z.strictObject({ link: z.url() }).meta({ id: 'UrlTestSchema' })
  t.throws(() => buildContractCheck().errorsOf('UrlTestSchema'), { message: /unknown format "uri"/ })
  z.globalRegistry.remove(UrlSchema)
  t.end()
})
