import t from 'tap'
import { measuredFrom, measuredUnlessNull } from '../../../src/engine/detector/measured-value.ts'
import { near } from '../../support/near.ts'

const a = { value: 6, standardUncertainty: 0.3 }
const b = { value: 2, standardUncertainty: 0.05 }

void t.test('a quotient carries the relative uncertainties of both', (t) => {
  const quotient = measuredFrom({ a, b }, (values) => values.a / values.b)
  t.equal(quotient.value, 3)
  near(t, Number(quotient.standardUncertainty), 3 * Math.hypot(0.05, 0.025), 1e-6, 'in quadrature')
  t.end()
})

void t.test('an unknown uncertainty makes that of the quantity unknown', (t) => {
  const open = { value: 2, standardUncertainty: null }
  t.same(
    measuredFrom({ a, open }, (values) => values.a * values.open),
    { value: 12, standardUncertainty: null },
  )
  t.end()
})

void t.test('a quantity without an answer is null; at the edge of one the other side tells', (t) => {
  const root = (values: { x: number }) => (values.x < 4 ? null : Math.sqrt(values.x))
  t.equal(measuredUnlessNull({ x: { value: 3, standardUncertainty: 1 } }, root), null)
  const edge = measuredUnlessNull({ x: { value: 4, standardUncertainty: 0.01 } }, root)
  t.equal(edge?.value, 2)
  near(t, Number(edge?.standardUncertainty), 0.0025, 1e-4, 'one-sided difference')
  t.end()
})

void t.test('an exact input brings nothing', (t) => {
  const exact = { value: 2, standardUncertainty: 0 }
  t.same(
    measuredFrom({ exact }, (values) => 5 * values.exact),
    { value: 10, standardUncertainty: 0 },
  )
  t.end()
})
