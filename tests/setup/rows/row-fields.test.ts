import t from 'tap'
import { z } from 'zod'
import { quantity } from '../../../src/contract/fields.ts'
import { rowFields } from '../../../src/setup/rows/row-fields.ts'

const fields = rowFields(
  {
    at: z.iso.datetime(),
    gain: quantity({ unit: 'adu', minimum: 0, maximum: 4, description: 'A number.', example: 2 }).optional(),
    name: z.string().min(1).max(3).optional(),
    kept: z.boolean().optional(),
    inner: z.strictObject({ a: z.number() }).optional(),
    either: z.union([z.number(), z.string()]).optional(),
  },
  (name) => name.length,
)

void t.test('the schema says what may stand in a field', (t) => {
  t.same([...fields.keys()], ['at', 'gain', 'name', 'kept'], 'objects and choices are no fields of a row')
  t.match(fields.get('at'), { kind: 'time', isRequired: true, column: 2 })
  t.match(fields.get('gain'), { kind: 'number', isRequired: false, minimum: 0, maximum: 4 })
  t.equal(fields.get('gain')?.wanted, 'a number from 0 to 4 ADU, such as 2')
  const allowed = (name: string, ...values: unknown[]) => values.map((value) => fields.get(name)?.allows(value))
  t.same(allowed('at', '2026-11-21T19:42:10Z', '2026-11-21', 7), [true, false, false])
  t.same(allowed('gain', 0, 4, -1, 5, NaN, '2'), [true, true, false, false, false, false])
  t.same(allowed('name', 'abc', '', 'abcd', 1), [true, false, false, false])
  t.same(allowed('kept', true, 1), [true, false])
  t.throws(() => rowFields({ size: z.number() }, () => -1), /No column is meant for size/)
  t.end()
})
