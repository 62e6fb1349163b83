import { distance } from 'fastest-levenshtein'

const longestCompared = 100

const bare = (name: string) => name.toLowerCase().replace(/[^a-z0-9]/g, '')

/** A name with each of its words left out in turn. */
function shortened(name: string): string[] {
  const words = name.match(/[A-Z]?[^A-Z]+|[A-Z]/g) ?? []
  return words.map((_, left) => words.filter((_, index) => index !== left).join(''))
}

/** How far two names are apart, in edits; leaving out a word of a name, or its end, such as its unit, counts as one. */
function distanceBetween(name: string, candidate: string): number {
  const known = bare(candidate)
  const whole = distance(name, known)
  if (name.length < 3) return whole
  const parts = [known.slice(0, name.length), ...shortened(candidate).map(bare)]
  return Math.min(whole, ...parts.map((part) => distance(name, part) + 1))
}

/** The known name that a mistyped one most likely stands for, if one is close enough to be meant. */
export function nearest(name: string, known: readonly string[]): string | undefined {
  if (name.length > longestCompared) return undefined
  const wanted = bare(name)
  const allowed = wanted.length < 4 ? 1 : Math.max(2, Math.floor(wanted.length / 3))
  const ranked = known
    .map((candidate) => ({ candidate, edits: distanceBetween(wanted, candidate) }))
    .sort((a, b) => a.edits - b.edits)
  const best = ranked[0]
  return best !== undefined && best.edits <= allowed ? best.candidate : undefined
}
