// What is to be said beside the numbers, gathered while a request is made into a set-up.

import type { Assumption } from '../contract/answer.ts'
import { ProblemError, type FieldError } from '../contract/problem.ts'

export class Notes {
  readonly assumptions: Assumption[] = []
  readonly cautions: string[] = []
  readonly explanation: string[] = []
  readonly sources = new Set<string>()
  readonly #broken: FieldError[] = []
  readonly #contradictory: FieldError[] = []

  /** Records a default and hands it on. */
  assume<Value>(pointer: string, value: Value, reason: string): Value {
    this.assumptions.push({ pointer, value, reason })
    return value
  }

  explain(sentence: string): void {
    this.explanation.push(sentence)
  }

  caution(sentence: string): void {
    if (!this.cautions.includes(sentence)) this.cautions.push(sentence)
  }

  cite(...sources: string[]): void {
    for (const source of sources) this.sources.add(source)
  }

  /** Records a field the question cannot do without; the NaN returned never gets past {@link settle}. */
  missing(pointer: string, why: string): number {
    this.#broken.push({ pointer, message: `missing: ${why}` })
    return NaN
  }

  /** Records a field that breaks a rule of the contract across fields. */
  broken(pointer: string, message: string): void {
    this.#broken.push({ pointer, message })
  }

  /** Records a field that is well-formed but contradicts another or nature. */
  contradictory(pointer: string, message: string): void {
    this.#contradictory.push({ pointer, message })
  }

  /** Throws when anything is missing, broken or contradictory; every such field is named. */
  settle(): void {
    const errors = [...this.#broken, ...this.#contradictory]
    if (errors.length === 0) return
    const kind = this.#broken.length > 0 ? 'invalid-request' : 'no-answer'
    const fields = errors.length === 1 ? 'One field stands' : `${errors.length} fields stand`
    throw new ProblemError(kind, `${fields} in the way of an answer.`, errors)
  }
}
