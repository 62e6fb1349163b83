// Questions about several set-ups resolve each of them as the other questions do theirs, so what a set-up's notes say about
// `/camera` is moved to where that camera stands in the whole request. Scenes are kept while one question is answered:
// sites, targets and changes share most of them.

import { ProblemError } from '../contract/problem.ts'
import { EngineError } from '../engine/index.ts'
import { engineProblem } from './engine-pointers.ts'
import { Notes } from './notes.ts'
import { resolveScene, type Scene, type SceneNeeds, type SceneRequest } from './scene.ts'

/** Where the parts of one set-up's question stand in the whole request. */
export interface Places {
  setup: string
  filter: string
  site: string
  light: string
}

/** A pointer of a set-up's own question as one of the whole request. */
export function movedPointer(pointer: string, { setup, filter, site, light }: Places): string {
  const end = pointer.indexOf('/', 1)
  const part = end === -1 ? pointer : pointer.slice(0, end)
  const tail = pointer.slice(part.length)
  switch (part) {
    case '/filter':
      return filter + tail
    case '/sky':
      return `${site}/sky${tail}`
    case '/site':
      return site + tail
    case '/target':
      return light + tail
    default:
      return setup + pointer
  }
}

/** Numbers for parts of a request, the same for parts that say the same. */
class Identities {
  readonly #byPart = new WeakMap<object, number>()
  readonly #byText = new Map<string, number>()

  of(part: object | undefined): number {
    if (part === undefined) return 0
    const known = this.#byPart.get(part)
    if (known !== undefined) return known
    const text = JSON.stringify(part)
    const identity = this.#byText.get(text) ?? this.#byText.size + 1
    this.#byText.set(text, identity)
    this.#byPart.set(part, identity)
    return identity
  }
}

export class Bench {
  readonly notes: Notes
  readonly #parent: Bench | null
  readonly #identities: Identities
  readonly #kept = new Map<string, unknown>()
  readonly #assumed = new Set<string>()
  readonly #taken = new WeakMap<Notes, Set<string>>()

  constructor(notes: Notes, parent: Bench | null = null) {
    this.notes = notes
    this.#parent = parent
    this.#identities = parent === null ? new Identities() : parent.#identities
  }

  /** A bench that knows what this one knows, with notes that nobody reads: for what is reckoned beside the answer. */
  quiet(): Bench {
    return new Bench(new Notes(), this)
  }

  /** What was made before of the same parts of a request, or what is made of them now. */
  once<Result>(what: string, parts: readonly (object | undefined)[], make: () => Result): Result {
    const key = [what, ...parts.map((part) => this.#identities.of(part))].join(' ')
    const known = this.#find(key)
    if (known !== undefined) return known as Result
    const made = make()
    this.#kept.set(key, made)
    return made
  }

  #find(key: string): unknown {
    return this.#kept.get(key) ?? (this.#parent === null ? undefined : this.#parent.#find(key))
  }

  /** Does work whose notes are about one set-up; a problem it meets points into the whole request. */
  within<Result>(places: Places, work: (part: Notes) => Result): Result {
    const part = new Notes()
    try {
      const result = work(part)
      part.settle()
      this.#take(part, places)
      return result
    } catch (error) {
      throw error instanceof ProblemError ? movedProblem(error, places) : error
    }
  }

  /** As {@link once}, for work with notes: they are taken again for every set-up it is done for. */
  noted<Result>(
    what: string,
    parts: readonly (object | undefined)[],
    places: Places,
    make: (part: Notes) => Result,
  ): Result {
    const { result, part } = this.once(what, parts, () => this.within(places, (part) => ({ result: make(part), part })))
    this.#take(part, places)
    return result
  }

  /** A scene; a refusal of the engine is a problem with the field it is about. */
  scene(request: SceneRequest, needs: SceneNeeds, places: Places): Scene {
    const { camera, optics, filter, sky, target } = request
    return this.noted('scene', [camera, optics, filter, sky, target, needs], places, (part) =>
      orPointed(request, () => resolveScene(request, needs, part)),
    )
  }

  #take(part: Notes, places: Places): void {
    // Nobody reads the notes of a quiet bench.
    if (this.#parent !== null) return
    const taken = this.#taken.get(part) ?? new Set()
    const whose = `${places.setup} ${places.filter} ${places.site} ${places.light}`
    if (taken.has(whose)) return
    this.#taken.set(part, taken.add(whose))
    for (const { pointer, value, reason } of part.assumptions) {
      const moved = movedPointer(pointer, places)
      if (this.#assumed.has(moved)) continue
      this.#assumed.add(moved)
      this.notes.assume(moved, value, reason)
    }
    for (const caution of part.cautions) this.notes.caution(caution)
    this.notes.cite(...part.sources)
  }
}

/** Does work on a request; a refusal of the engine is a problem with the field it is about. */
export function orPointed<Result>(request: object, work: () => Result): Result {
  try {
    return work()
  } catch (error) {
    throw error instanceof EngineError ? engineProblem(error, request) : error
  }
}

function movedProblem(error: ProblemError, places: Places): ProblemError {
  const errors = error.errors.map(({ pointer, message }) => ({ pointer: movedPointer(pointer, places), message }))
  return new ProblemError(error.kind, error.message, errors)
}
