import type { Test } from 'tap'

/** Passes when `actual` is within a relative tolerance of `expected` (which is not zero). */
export function near(t: Test, actual: number, expected: number, relative: number, what: string): void {
  const off = Math.abs(actual - expected) / Math.abs(expected)
  t.ok(off <= relative, `${what}: ${actual} is within ${relative} of ${expected} (off by ${off})`)
}

/** Passes when `actual` is within an absolute tolerance of `expected`. */
export function within(t: Test, actual: number, expected: number, absolute: number, what: string): void {
  const off = Math.abs(actual - expected)
  t.ok(off <= absolute, `${what}: ${actual} is within ±${absolute} of ${expected} (off by ${off})`)
}

/** Passes when `run` throws an EngineError of the given code. */
export function refuses(t: Test, run: () => unknown, code: string, what: string): void {
  t.throws(run, { name: 'EngineError', code }, what)
}
