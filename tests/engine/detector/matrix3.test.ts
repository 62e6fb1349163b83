import t from 'tap'
import { inverseSymmetric3, multiply3 } from '../../../src/engine/detector/matrix3.ts'
import { within } from '../../support/near.ts'

void t.test('an inverse in whole numbers', (t) => {
  // L = [[1,0,0],[2,1,0],[3,4,1]], D = (1, 2, 4): M = L D Lᵀ, whose inverse is L⁻ᵀ D⁻¹ L⁻¹ with last row (5, -4, 1).
  const inverse = inverseSymmetric3({ m00: 1, m01: 2, m02: 3, m11: 6, m12: 14, m22: 45 }, 1e-12)
  t.same(inverse, {
    m00: 1 + 4 / 2 + 25 / 4,
    m01: -2 / 2 - 20 / 4,
    m02: 5 / 4,
    m11: 1 / 2 + 16 / 4,
    m12: -4 / 4,
    m22: 1 / 4,
  })
  t.end()
})

void t.test('matrix times inverse times vector is the vector', (t) => {
  const matrix = { m00: 4, m01: 1, m02: -0.5, m11: 3, m12: 0.7, m22: 2 }
  const back = multiply3(matrix, multiply3(inverseSymmetric3(matrix, 1e-12), [1, -2, 3]))
  within(t, back[0], 1, 1e-14, 'first')
  within(t, back[1], -2, 1e-14, 'second')
  within(t, back[2], 3, 1e-14, 'third')
  t.same(multiply3({ m00: 1, m01: 2, m02: 3, m11: 4, m12: 5, m22: 6 }, [1, 10, 100]), [321, 542, 653])
  t.end()
})

void t.test('a parameter without information gets the variance of the floor', (t) => {
  const inverse = inverseSymmetric3({ m00: 2, m01: 0, m02: 0, m11: 0, m12: 0, m22: 0 }, 1e-6)
  t.same(inverse, { m00: 0.5, m01: -0, m02: 0, m11: 1e6, m12: -0, m22: 1e6 })
  t.end()
})
