import { distance } from 'fastest-levenshtein'

const longestCompared = 100

const bare = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, '')

/** How far two names are apart, in edits; leaving out the end of a name, such as its unit, counts as one. */
function distanceBetween(name: string, known: string): number {
  const whole = distance(name, known)
  return name.length < 3 ? whole : Math.min(whole, distance(name, known.slice(0, name.length)) + 1)
}

/** The known name that a mistyped one most likely stands for, if one is close enough to be meant. */
export function nearest(name: string, known: readonly string[]): string | undefined {
  if (name.length > longestCompared) return undefined
  const wanted = bare(name)
  const allowed = wanted.length < 4 ? 1 : Math.max(2, Math.floor(wanted.length / 3))
  const ranked = known
    .map((candidate) => ({ candidate, edits: distanceBetween(wanted, bare(candidate)) }))
    .sort((a, b) => a.edits - b.edits)
  const best = ranked[0]
  return best !== undefined && best.edits <= allowed ? best.candidate : undefined
}
