// A small seeded generator with the draws that a simulated sensor needs, so that a test that rests on chance gives the
// same numbers on every machine.

export interface Random {
  /** Uniform on [0, 1), 53 bits. */
  uniform: () => number
  normal: (mean: number, standardDeviation: number) => number
  /** Whole, ≥ 0; exact for every mean ≥ 0. */
  poisson: (mean: number) => number
}

/** xoshiro128** (Blackman & Vigna 2021, ACM Trans. Math. Softw. 47, 36), its state filled by splitmix32. */
export function seededRandom(seed: number): Random {
  const next = xoshiro128(seed)
  const uniform = () => ((next() >>> 5) * 67108864 + (next() >>> 6)) / 9007199254740992
  let spare: number | null = null
  /** Marsaglia's polar method, two values at a time. */
  const standardNormal = (): number => {
    if (spare !== null) {
      const value = spare
      spare = null
      return value
    }
    for (;;) {
      const x = 2 * uniform() - 1
      const y = 2 * uniform() - 1
      const square = x * x + y * y
      if (square >= 1 || square === 0) continue
      const factor = Math.sqrt((-2 * Math.log(square)) / square)
      spare = y * factor
      return x * factor
    }
  }
  return {
    uniform,
    normal: (mean, standardDeviation) => mean + standardDeviation * standardNormal(),
    poisson: (mean) => (mean < 10 ? poissonByProducts(uniform, mean) : poissonByRejection(uniform, mean)),
  }
}

function xoshiro128(seed: number): () => number {
  let mixed = seed | 0
  const splitmix = () => {
    mixed = (mixed + 0x9e3779b9) | 0
    let z = mixed
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad)
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97)
    return z ^ (z >>> 15)
  }
  let [a, b, c, d] = [splitmix(), splitmix(), splitmix(), splitmix()]
  const rotate = (x: number, bits: number) => (x << bits) | (x >>> (32 - bits))
  return () => {
    const result = Math.imul(rotate(Math.imul(b, 5), 7), 9)
    const shifted = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= shifted
    d = rotate(d, 11)
    return result >>> 0
  }
}

/** Knuth's product of uniforms: exact, and quick for small means. */
function poissonByProducts(uniform: () => number, mean: number): number {
  const limit = Math.exp(-mean)
  let count = 0
  for (let product = uniform(); product > limit; product *= uniform()) count++
  return count
}

/** Transformed rejection, PTRS (Hörmann 1993, Insurance: Mathematics and Economics 12, 39): exact for means of 10 up. */
function poissonByRejection(uniform: () => number, mean: number): number {
  const b = 0.931 + 2.53 * Math.sqrt(mean)
  const a = -0.059 + 0.02483 * b
  const inverseAlpha = 1.1239 + 1.1328 / (b - 3.4)
  const quick = 0.9277 - 3.6224 / (b - 2)
  const logMean = Math.log(mean)
  for (;;) {
    const u = uniform() - 0.5
    const v = uniform()
    const edge = 0.5 - Math.abs(u)
    const count = Math.floor(((2 * a) / edge + b) * u + mean + 0.43)
    if (edge >= 0.07 && v <= quick) return count
    if (count < 0 || (edge < 0.013 && v > edge)) continue
    const accepted = Math.log((v * inverseAlpha) / (a / (edge * edge) + b))
    if (accepted <= count * logMean - mean - logFactorial(count)) return count
  }
}

/** ln n! from a table, or by Stirling's series (error below 1e-12 from 16 up). */
function logFactorial(n: number): number {
  const small = SMALL_LOG_FACTORIALS[n]
  if (small !== undefined) return small
  const x = n + 1
  const series = 1 / (12 * x) - 1 / (360 * x ** 3) + 1 / (1260 * x ** 5)
  return (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + series
}

const SMALL_LOG_FACTORIALS = Array.from({ length: 32 }, (_, n) => {
  let sum = 0
  for (let k = 2; k <= n; k++) sum += Math.log(k)
  return sum
})
