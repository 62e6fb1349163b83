// Inverse of the 3 x 3 information matrix of a three-parameter fit.

export type Vector3 = [number, number, number]

/** Symmetric, by its upper triangle. */
export interface SymmetricMatrix3 {
  m00: number
  m01: number
  m02: number
  m11: number
  m12: number
  m22: number
}

/**
 * Inverse of a symmetric positive definite matrix by LDLᵀ.
 *
 * @param matrix  positive definite
 * @param floor  > 0; pivots below it, which only rounding makes, are raised to it
 * @returns the inverse, symmetric and positive definite
 * @source Golub & Van Loan 2013, Matrix Computations, 4th ed., 4.1 (from memory)
 */
export function inverseSymmetric3(matrix: SymmetricMatrix3, floor: number): SymmetricMatrix3 {
  const d0 = Math.max(matrix.m00, floor)
  const l10 = matrix.m01 / d0
  const l20 = matrix.m02 / d0
  const d1 = Math.max(matrix.m11 - l10 ** 2 * d0, floor)
  const l21 = (matrix.m12 - l10 * l20 * d0) / d1
  const d2 = Math.max(matrix.m22 - l20 ** 2 * d0 - l21 ** 2 * d1, floor)
  // Last row of the inverse of L.
  const k20 = l10 * l21 - l20
  return {
    m00: 1 / d0 + l10 ** 2 / d1 + k20 ** 2 / d2,
    m01: -l10 / d1 - (k20 * l21) / d2,
    m02: k20 / d2,
    m11: 1 / d1 + l21 ** 2 / d2,
    m12: -l21 / d2,
    m22: 1 / d2,
  }
}

/**
 * Product of a symmetric matrix and a vector.
 *
 * @returns M v
 * @derived row by row
 */
export function multiply3(matrix: SymmetricMatrix3, [a, b, c]: Vector3): Vector3 {
  return [
    matrix.m00 * a + matrix.m01 * b + matrix.m02 * c,
    matrix.m01 * a + matrix.m11 * b + matrix.m12 * c,
    matrix.m02 * a + matrix.m12 * b + matrix.m22 * c,
  ]
}
