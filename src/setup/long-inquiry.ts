// An inquiry whose parts take long: the same as `inquire`, in turns.

import type { Plain } from '../contract/fields.ts'
import { ProblemError } from '../contract/problem.ts'
import { EngineError, propagate, type UncertainInput } from '../engine/index.ts'
import { engineProblem } from './engine-pointers.ts'
import { commonAnswer, present, type CommonAnswer, type Quantities } from './inquiry.ts'
import { Notes } from './notes.ts'
import { stripUncertainties, withValue } from './plain.ts'
import type { Work } from './work.ts'

/** As `Inquiry`, each part of it work. */
export interface LongInquiry<Request, Solution, Body extends object> {
  solve: (request: Plain<Request>, notes: Notes) => Work<Solution>
  quantities: (request: Plain<Request>, base: Solution) => Work<Quantities>
  encode: (solution: Solution, notes: Notes, request: Plain<Request>) => Work<Body>
}

/** Answers a request by an inquiry that takes long. */
export function* inquireLong<Request, Solution, Body extends object>(
  request: Request,
  { solve, quantities, encode }: LongInquiry<Request, Solution, Body>,
): Work<Body & CommonAnswer> {
  const { plain, uncertain } = stripUncertainties(request)
  const notes = new Notes()
  try {
    const solution = yield* solve(plain, notes)
    const body = yield* encode(solution, notes, plain)
    const common = commonAnswer(notes)
    if (uncertain.length > 0) {
      common.uncertainty = yield* propagateLong((moved) => quantities(moved, solution), plain, uncertain)
    }
    return Object.assign(body, common)
  } catch (error) {
    throw error instanceof EngineError ? engineProblem(error, request) : error
  }
}

/** Which questions the propagation asks does not hang on their answers; so they are listed first, then asked one by one. */
function* propagateLong<Request>(
  quantities: (moved: Request) => Work<Quantities>,
  plain: Request,
  uncertain: readonly UncertainInput[],
): Work<ReturnType<typeof propagate>> {
  const asked: Request[] = []
  propagate((replaced, value) => {
    asked.push(replaced === null ? plain : withValue(plain, replaced.input, value))
    return {}
  }, uncertain)
  const answers: (Record<string, number> | null)[] = []
  for (const moved of asked) answers.push(yield* quantitiesOrNull(quantities(moved)))
  const [middle] = answers
  // What only moves by rounding is not uncertain.
  return propagate(() => answers.shift() ?? null, uncertain).filter(
    ({ quantity, standardUncertainty }) => standardUncertainty >= 1e-9 * Math.abs(middle?.[quantity] ?? 0),
  )
}

/** As `inquire` has it: null where the move took the request out of what has an answer. */
function* quantitiesOrNull(quantities: Work<Quantities>): Work<Record<string, number> | null> {
  try {
    return present(yield* quantities)
  } catch (error) {
    if (error instanceof EngineError || error instanceof ProblemError) return null
    throw error
  }
}
