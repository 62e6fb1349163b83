// Bracketed root finding for the monotone functions of the exposure engine.

/**
 * Root of a function that changes sign once on [from, to], by Chandrupatla's method on a logarithmic scale.
 *
 * Lengths here span seven decades, so it is the ratio that is narrowed, not the difference. The method interpolates by an
 * inverse parabola where that is safe and halves the bracket where it isn't, so it never does worse than bisection by much.
 *
 * @param f  continuous on the bracket; f(from) and f(to) have opposite signs
 * @param from  lower end, > 0
 * @param to  upper end, > from
 * @returns the root to a relative 1e-12
 * @source Chandrupatla 1997, Adv. Eng. Softw. 28, 145 (from memory)
 */
export function findRoot(f: (x: number) => number, from: number, to: number): number {
  let b = Math.log(from)
  let a = Math.log(to)
  let c = a
  let fa = f(to)
  let fb = f(from)
  let fc = fa
  let step = 0.5
  for (;;) {
    const x = a + step * (b - a)
    const fx = f(Math.exp(x))
    if (fx > 0 === fa > 0) {
      c = a
      fc = fa
    } else {
      c = b
      b = a
      fc = fb
      fb = fa
    }
    a = x
    fa = fx
    const best = Math.abs(fa) < Math.abs(fb) ? a : b
    const room = 5e-13 / Math.abs(b - a)
    if (room > 0.5 || fa === 0) return Math.exp(best)
    const xi = (a - b) / (c - b)
    const phi = (fa - fb) / (fc - fb)
    const parabolic = phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi
    step = parabolic
      ? (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb))
      : 0.5
    step = Math.min(1 - room, Math.max(room, step))
  }
}
