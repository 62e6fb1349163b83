// Any measured number may come as {value, standardUncertainty}. Here the two are parted: the questions see plain numbers,
// and the uncertainties go by their pointers to the one mechanism that propagates them.

import type { Plain } from '../contract/fields.ts'
import type { UncertainInput } from '../engine/index.ts'

type Json = Record<string, unknown>

/** Splits a request into plain numbers and the uncertain ones among them; the request itself is left as it is. */
export function stripUncertainties<Request>(request: Request): { plain: Plain<Request>; uncertain: UncertainInput[] } {
  // Most requests hold none; they need no copy.
  if (!holdsUncertainty(request)) return { plain: request as Plain<Request>, uncertain: [] }
  const uncertain: UncertainInput[] = []
  const plain = strip(request, '', uncertain)
  return { plain: plain as Plain<Request>, uncertain }
}

function holdsUncertainty(node: unknown): boolean {
  if (typeof node !== 'object' || node === null) return false
  // Most of what a request holds are numbers; only what may hold more is looked into.
  if (Array.isArray(node)) return node.some((item) => typeof item === 'object' && holdsUncertainty(item))
  const parent = node as Json
  if (parent.standardUncertainty !== undefined) return true
  for (const name in parent) {
    const child = parent[name]
    if (typeof child === 'object' && holdsUncertainty(child)) return true
  }
  return false
}

function strip(node: unknown, pointer: string, uncertain: UncertainInput[]): unknown {
  if (typeof node !== 'object' || node === null) return node
  if (Array.isArray(node)) return node.map((item, index) => strip(item, `${pointer}/${index}`, uncertain))
  const { value, standardUncertainty } = node as Json
  if (typeof value === 'number' && typeof standardUncertainty === 'number') {
    uncertain.push({ input: pointer, value, standardUncertainty })
    return value
  }
  const result: Json = {}
  for (const [key, child] of Object.entries(node)) result[key] = strip(child, `${pointer}/${key}`, uncertain)
  return result
}

/** A copy of a plain request with one number replaced. Pointers here never hold escapes: contract names need none. */
export function withValue<Request>(plain: Request, pointer: string, value: number): Request {
  return replace(plain, pointer.split('/').slice(1), value) as Request
}

function replace(node: unknown, path: readonly string[], value: number): unknown {
  const [key, ...rest] = path
  if (key === undefined) return value
  if (Array.isArray(node)) {
    const items: unknown[] = node
    return items.map((item, index) => (String(index) === key ? replace(item, rest, value) : item))
  }
  const parent = node as Json
  return { ...parent, [key]: replace(parent[key], rest, value) }
}
