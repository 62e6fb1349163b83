// What every question has in common: uncertainties are parted from the numbers, the plain question is solved, and the
// uncertainties are propagated through the very same solution.

import type { Assumption, Uncertainty } from '../contract/answer.ts'
import type { Plain } from '../contract/fields.ts'
import { ProblemError } from '../contract/problem.ts'
import { EngineError, propagate } from '../engine/index.ts'
import { VERSION } from '../version.ts'
import { engineProblem } from './engine-pointers.ts'
import { Notes } from './notes.ts'
import { stripUncertainties, withValue } from './plain.ts'

/** The headline numbers of an answer by JSON Pointer. A number that the answer doesn't have is null. */
export type Quantities = Record<string, number | null | undefined>

export interface Inquiry<Request, Solution, Body extends object> {
  /** The answer in the engine's terms, with defaults, cautions and sources noted on the way. */
  solve: (request: Plain<Request>, notes: Notes) => Solution
  /** The headline numbers for a request that differs a little, every choice made in `base` (such as the advised length) kept. */
  quantities: (request: Plain<Request>, base: Solution) => Quantities
  /** The answer in the contract's terms. */
  encode: (solution: Solution, notes: Notes, request: Plain<Request>) => Body
}

export interface CommonAnswer {
  explanation: string[]
  assumptions: Assumption[]
  cautions: string[]
  model: { version: string; sources: string[] }
  uncertainty?: Uncertainty[]
}

/** What every answer carries beside its numbers. */
export function commonAnswer({ explanation, assumptions, cautions, sources }: Notes): CommonAnswer {
  return { explanation, assumptions, cautions, model: { version: VERSION, sources: [...sources] } }
}

/** Answers a request by an inquiry. The body that `encode` makes is the answer itself, completed. */
export function inquire<Request, Solution, Body extends object>(
  request: Request,
  { solve, quantities, encode }: Inquiry<Request, Solution, Body>,
): Body & CommonAnswer {
  const { plain, uncertain } = stripUncertainties(request)
  const notes = new Notes()
  const { solution, body } = pointingAt(request, () => {
    const solution = solve(plain, notes)
    return { solution, body: encode(solution, notes, plain) }
  })
  const common = commonAnswer(notes)
  if (uncertain.length > 0) {
    common.uncertainty = propagate((replaced, value) => {
      const moved = replaced === null ? plain : withValue(plain, replaced.input, value)
      return quantitiesOrNull(() => quantities(moved, solution))
    }, uncertain)
  }
  return Object.assign(body, common)
}

/** The headline numbers of a request that was moved a little; null where the move took it out of what has an answer. */
function quantitiesOrNull(quantities: () => Quantities): Record<string, number> | null {
  try {
    return present(quantities())
  } catch (error) {
    if (error instanceof EngineError || error instanceof ProblemError) return null
    throw error
  }
}

/** Runs a part of an answer; what the engine refuses comes out as a problem that points into the request. */
function pointingAt<Result>(request: unknown, part: () => Result): Result {
  try {
    return part()
  } catch (error) {
    throw error instanceof EngineError ? engineProblem(error, request) : error
  }
}

/** The headline numbers that there are. */
export function present(quantities: Quantities): Record<string, number> {
  const result: Record<string, number> = {}
  for (const [pointer, value] of Object.entries(quantities)) {
    if (typeof value === 'number') result[pointer] = value
  }
  return result
}
