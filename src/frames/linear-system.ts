// Normal equations of a least-squares step, solved by Cholesky's method.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

export class LinearSystem {
  private readonly size: number
  private readonly matrix: Float64Array
  private readonly right: Float64Array
  private readonly factor: Float64Array

  constructor(size: number) {
    this.size = size
    this.matrix = new Float64Array(size * size)
    this.right = new Float64Array(size)
    this.factor = new Float64Array(size * size)
  }

  clear(): void {
    this.matrix.fill(0)
    this.right.fill(0)
  }

  /** Adds one equation: derivatives by the parameters, and what is left to explain. */
  add(row: Float64Array, residual: number): void {
    const { size, matrix, right } = this
    for (let i = 0; i < size; i++) {
      const value = row[i]!
      right[i]! += value * residual
      for (let j = 0; j <= i; j++) matrix[i * size + j]! += value * row[j]!
    }
  }

  /**
   * Solves with the diagonal raised by the factor 1 + `damping` (Marquardt's scaling).
   *
   * @returns undefined where the equations do not determine the parameters
   * @source Marquardt 1963, J. SIAM 11, 431
   */
  solve(damping: number): Float64Array | undefined {
    if (!this.factorize(damping)) return undefined
    const { size, factor } = this
    const solution = this.right.slice()
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < i; j++) solution[i] = at(solution, i) - at(factor, i * size + j) * at(solution, j)
      solution[i] = at(solution, i) / at(factor, i * size + i)
    }
    for (let i = size - 1; i >= 0; i--) {
      for (let j = i + 1; j < size; j++) solution[i] = at(solution, i) - at(factor, j * size + i) * at(solution, j)
      solution[i] = at(solution, i) / at(factor, i * size + i)
    }
    return solution
  }

  private factorize(damping: number): boolean {
    const { size, matrix, factor } = this
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) {
        let value = at(matrix, i * size + j) * (i === j ? 1 + damping : 1)
        for (let k = 0; k < j; k++) value -= at(factor, i * size + k) * at(factor, j * size + k)
        if (i === j && !(value > 0)) return false
        factor[i * size + j] = i === j ? Math.sqrt(value) : value / at(factor, j * size + j)
      }
    }
    return true
  }
}

function at(values: Float64Array, index: number): number {
  return values[index]!
}
