// Whatever the contract lets in gets an answer that keeps the contract, or a problem that names a field; never NaN, never
// an error without a type.

import fc from 'fast-check'
import t from 'tap'
import { z } from 'zod'
import { ProblemError } from '../../src/contract/problem.ts'
import type { Question } from '../../src/routes/endpoint.ts'
import { endpoints } from '../../src/routes/index.ts'
import { arbitraryOf, type JsonSchema } from '../support/schema-arbitrary.ts'

const RUNS = 400
const SEED = Number(process.env.FUZZ_SEED ?? 20261125)

const questions = endpoints.filter((endpoint): endpoint is Question => endpoint.kind === 'question')

for (const question of questions) {
  void t.test(`${question.path} keeps its contract over ${RUNS} requests (seed ${SEED})`, (t) => {
    const schema = z.toJSONSchema(question.request, { io: 'input' }) as JsonSchema
    const whole = arbitraryOf(schema, schema.$defs ?? {})
    // Whole requests of chance mostly contradict themselves; an example with parts of chance goes deeper.
    const examples = Object.values(question.examples).map(({ request }) => request as Json)
    const mixed = fc
      .tuple(fc.constantFrom(...examples), whole, fc.integer({ min: 0, max: 255 }))
      .map(([example, chance, mask]) => mix(example, chance as Json, mask))
    let answered = 0
    const property = fc.property(fc.oneof(whole, mixed), (request) => {
      if (!question.request.safeParse(request).success) return
      try {
        question.answer.parse(question.handle(request))
        answered++
      } catch (error) {
        if (!(error instanceof ProblemError)) throw error
        if (error.errors.length === 0) throw new Error(`no field named: ${error.message}`)
      }
    })
    fc.assert(property, { numRuns: RUNS, seed: SEED })
    t.ok(answered > RUNS / 10, `${answered} of them had an answer`)
    t.end()
  })
}

type Json = Record<string, unknown>

function isObject(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** An example some of whose parts are by chance replaced, or have a part of their own replaced. */
function mix(example: Json, chance: Json, mask: number): Json {
  const result: Json = { ...example }
  Object.entries(chance).forEach(([key, value], index) => {
    if ((mask >> (index % 8)) % 2 === 1) result[key] = touch(result[key], value, mask)
  })
  return result
}

/** A value with one part replaced; in a list it is a part of one item. Replaced whole where it has no parts. */
function touch(mine: unknown, chance: unknown, mask: number): unknown {
  if (Array.isArray(mine) && Array.isArray(chance) && chance.length > 0 && mine.every(isObject)) {
    const items: unknown[] = mine
    const chosen = mask % items.length
    return items.map((item, index) => (index === chosen ? touch(item, chance[0], mask) : item))
  }
  if (!isObject(mine) || !isObject(chance)) return chance
  const names = Object.keys(chance)
  const name = names[mask % Math.max(1, names.length)]
  return name === undefined ? mine : { ...mine, [name]: chance[name] }
}
