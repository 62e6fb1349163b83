// Statistics the slow and obvious way, to hold the fast ones against.

export interface NaiveStatistics {
  validCount: number
  missingCount: number
  median: number
  medianDeviation: number
  mean: number
  minimum: number
  maximum: number
}

export function naiveStatistics(samples: readonly number[], blank: number | null): NaiveStatistics {
  const valid = samples.filter((sample) => Number.isFinite(sample) && sample !== blank)
  const sorted = valid.toSorted((one, other) => one - other)
  const median = middle(sorted)
  return {
    validCount: valid.length,
    missingCount: samples.length - valid.length,
    median,
    medianDeviation: middle(valid.map((sample) => Math.abs(sample - median)).toSorted((one, other) => one - other)),
    mean: valid.reduce((sum, sample) => sum + sample, 0) / valid.length,
    minimum: sorted[0] ?? NaN,
    maximum: sorted.at(-1) ?? NaN,
  }
}

function middle(sorted: readonly number[]): number {
  const lower = sorted[(sorted.length - 1) >> 1] ?? NaN
  const upper = sorted[sorted.length >> 1] ?? NaN
  return lower / 2 + upper / 2
}
