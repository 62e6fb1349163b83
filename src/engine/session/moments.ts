// Sums over subs that the best weights of a stack hang on.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- the sums are read at indices they have */

/** Sums over subs with weights 1/V, as a mean and what is spread about it: subs alike then cancel to the last digit. */
export interface Moments {
  /** Σ 1/V */
  inverse: number
  /** Means of a and b. */
  signal: number
  background: number
  /** Σ of the squares about the means, and of their product, over V. */
  signalSpread: number
  crossSpread: number
  backgroundSpread: number
}

const NO_MOMENTS: Readonly<Moments> = {
  inverse: 0,
  signal: 0,
  background: 0,
  signalSpread: 0,
  crossSpread: 0,
  backgroundSpread: 0,
}

/**
 * @param sums  s, Σ a, Σ b, Σ a², Σ a b, Σ b², each over V, of values less those of the first sub
 * @returns the same as means and spreads; none for no subs
 * @derived the squares written out
 */
export function momentsOf(sums: Float64Array, first: { signal: number; background: number }): Moments {
  const inverse = sums[0]!
  if (inverse === 0) return NO_MOMENTS
  const signal = sums[1]! / inverse
  const background = sums[2]! / inverse
  return {
    inverse,
    signal: first.signal + signal,
    background: first.background + background,
    signalSpread: Math.max(0, sums[3]! - inverse * signal * signal),
    crossSpread: sums[4]! - inverse * signal * background,
    backgroundSpread: Math.max(0, sums[5]! - inverse * background * background),
  }
}

/**
 * @returns the sums of every sub taken k times
 * @derived every sum is linear in the number of subs, and means stay
 */
export function repeatedMoments(moments: Moments, times: number): Moments {
  return {
    ...moments,
    inverse: moments.inverse * times,
    signalSpread: moments.signalSpread * times,
    crossSpread: moments.crossSpread * times,
    backgroundSpread: moments.backgroundSpread * times,
  }
}

/**
 * @returns the sums of both
 * @source Chan, Golub & LeVeque 1983, Am. Stat. 37, 242 (from memory)
 */
export function joinedMoments(one: Moments, other: Moments): Moments {
  const inverse = one.inverse + other.inverse
  const share = inverse === 0 ? 0 : other.inverse / inverse
  const awayBy = other.signal - one.signal
  const besideBy = other.background - one.background
  const spread = one.inverse * share
  return {
    inverse,
    signal: one.signal + share * awayBy,
    background: one.background + share * besideBy,
    signalSpread: one.signalSpread + other.signalSpread + spread * awayBy * awayBy,
    crossSpread: one.crossSpread + other.crossSpread + spread * awayBy * besideBy,
    backgroundSpread: one.backgroundSpread + other.backgroundSpread + spread * besideBy * besideBy,
  }
}
