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
    const examples = Object.values(question.examples).map(({ request }) => request as Record<string, unknown>)
    const mixed = fc
      .tuple(fc.constantFrom(...examples), whole, fc.integer({ min: 0, max: 255 }))
      .map(([example, chance, mask]) => mix(example, chance as Record<string, unknown>, mask))
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
    t.ok(answered > RUNS / 20, `${answered} of them had an answer`)
    t.end()
  })
}

/** An example whose parts, two levels deep, are by chance replaced. */
function mix(example: Record<string, unknown>, chance: Record<string, unknown>, mask: number): Record<string, unknown> {
  const result: Record<string, unknown> = { ...example }
  Object.entries(chance).forEach(([key, value], index) => {
    if ((mask >> (index % 8)) % 2 === 0) return
    const mine = result[key]
    const both = typeof mine === 'object' && mine !== null && typeof value === 'object' && value !== null
    if (!both || Array.isArray(mine)) {
      result[key] = value
      return
    }
    const [name, part] = Object.entries(value)[mask % Math.max(1, Object.keys(value).length)] ?? []
    if (name !== undefined) result[key] = { ...mine, [name]: part as unknown }
  })
  return result
}
