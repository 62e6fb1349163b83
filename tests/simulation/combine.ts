// How subs become one picture: each pixel by itself.

export type Combine = 'mean' | 'clipped-mean' | 'median'

/** What a stack shows for a pixel whose subs read as given. Sorts or reorders `values`. */
export function combined(values: Float64Array, how: Combine): number {
  switch (how) {
    case 'mean':
      return meanOf(values, values.length)
    case 'clipped-mean':
      return clippedMean(values)
    case 'median':
      return median(values)
  }
}

function meanOf(values: Float64Array, count: number): number {
  let sum = 0
  for (let i = 0; i < count; i++) sum += values[i] ?? 0
  return sum / count
}

function median(values: Float64Array): number {
  values.sort()
  const middle = values.length >> 1
  const upper = values[middle] ?? 0
  return values.length % 2 === 1 ? upper : ((values[middle - 1] ?? 0) + upper) / 2
}

/** Leaves out what lies beyond 3 standard deviations of the mean, again and again until nothing does. */
function clippedMean(values: Float64Array): number {
  let count = values.length
  for (;;) {
    const mean = meanOf(values, count)
    let squares = 0
    for (let i = 0; i < count; i++) squares += ((values[i] ?? 0) - mean) ** 2
    const limit = (9 * squares) / (count - 1)
    let kept = 0
    for (let i = 0; i < count; i++) {
      const value = values[i] ?? 0
      if ((value - mean) ** 2 <= limit) values[kept++] = value
    }
    if (kept === count) return mean
    count = kept
  }
}
