// Gauss-Legendre quadrature: exact for polynomials up to degree 2n-1, and to rounding for the smooth integrands here.

const NODES_16 = legendreNodes(16)

/** Abscissae in (-1, 1) and weights of the n-point rule, by Newton's method on the Legendre recurrence. */
function legendreNodes(count: number): readonly { x: number; weight: number }[] {
  return Array.from({ length: count }, (_, index) => {
    let x = Math.cos((Math.PI * (index + 0.75)) / (count + 0.5))
    let slope = 1
    for (let step = 0; step < 8; step++) {
      let previous = 1
      let current = x
      for (let degree = 2; degree <= count; degree++) {
        const next = ((2 * degree - 1) * x * current - (degree - 1) * previous) / degree
        previous = current
        current = next
      }
      slope = (count * (x * current - previous)) / (x * x - 1)
      x -= current / slope
    }
    return { x, weight: 2 / ((1 - x * x) * slope * slope) }
  })
}

/**
 * Definite integral of a smooth function by the 16-point Gauss-Legendre rule.
 *
 * @param f  smooth on [from, to]
 * @returns the integral, in the units of f times those of its argument
 * @source Abramowitz & Stegun 1964, 25.4.29
 */
export function integrate(f: (x: number) => number, from: number, to: number): number {
  const half = (to - from) / 2
  const middle = (to + from) / 2
  let sum = 0
  for (const { x, weight } of NODES_16) sum += weight * f(middle + half * x)
  return sum * half
}
