import { distance } from 'fastest-levenshtein'

const longestCompared = 100

const bare = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, '')

/** How far two names are apart, in edits; 0 when they differ in case and punctuation only, 1 when one begins the other. */
function distanceBetween(name: string, known: string): number {
  if (name === known) return 0
  if (name.length >= 3 && known.startsWith(name)) return 1
  return distance(name, known)
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
