// JSON Merge Patch (RFC 7396).

type Json = Record<string, unknown>

function isObject(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** A document with a patch applied; neither is changed. Names such as `__proto__` are names like any other. */
export function mergePatch(document: unknown, patch: unknown): unknown {
  if (!isObject(patch)) return patch
  const result = new Map<string, unknown>(isObject(document) ? Object.entries(document) : [])
  for (const [name, change] of Object.entries(patch)) {
    if (change === null) result.delete(name)
    else result.set(name, mergePatch(result.get(name), change))
  }
  return Object.fromEntries(result)
}

/** The same JSON text for documents that differ in the order of their names only. */
export function canonicalJson(document: unknown): string {
  return JSON.stringify(document, (_, value: unknown) =>
    isObject(value) ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1))) : value,
  )
}
